"""Databases for the tests, on the same server as the program's own.

Each run makes a template from the migrations once, as the tables' owner, and clones it: for all
tests that roll back (`db`, the `django_db` mark), and afresh for each that needs real commits
(`committed_database`), since ledgers refuse to be emptied. Tests run as the application's role,
like the program.
"""

from collections.abc import Iterator
from contextlib import ExitStack

import hypothesis
import pytest
from django.db import connections
from pytest_django import DjangoDbBlocker

from tests.databases import Databases, url, use

# How long an example takes depends on what else the machine does.
hypothesis.settings.register_profile(
    "unhurried",
    hypothesis.settings.default,
    deadline=None,
    suppress_health_check=[hypothesis.HealthCheck.too_slow],
)
hypothesis.settings.load_profile("unhurried")


@pytest.fixture(scope="session")
def databases(
    django_test_environment: None, django_db_blocker: DjangoDbBlocker
) -> Iterator[Databases]:
    with ExitStack() as open_cursor:
        with django_db_blocker.unblock():
            cursor = open_cursor.enter_context(connections["owner"]._nodb_cursor())
            databases = Databases(cursor)
        yield databases


@pytest.fixture(scope="session")
def django_db_setup(databases: Databases, django_db_blocker: DjangoDbBlocker) -> Iterator[None]:
    with django_db_blocker.unblock():
        databases.migrate()
    yield
    with django_db_blocker.unblock():
        databases.remove()


@pytest.fixture
def committed_database(
    request: pytest.FixtureRequest,
    databases: Databases,
    django_db_setup: None,
    django_db_blocker: DjangoDbBlocker,
) -> Iterator[str]:
    """A database of the test's own, in which it commits; the value is its name."""
    if request.node.get_closest_marker("django_db") or "db" in request.fixturenames:
        pytest.fail("A test commits or rolls back: committed_database goes without django_db.")
    with django_db_blocker.unblock():
        databases.clone(databases.committed)
        use(databases.committed)
        yield databases.committed
        use(databases.shared)
        databases.drop(databases.committed)


@pytest.fixture
def database_environment(committed_database: str) -> dict[str, str]:
    """The environment in which another process works on the test's own database."""
    return {"DATABASE_URL": url("default"), "DATABASE_OWNER_URL": url("owner")}
