"""Databases for the tests, on the same server as the program's own.

Each worker makes a template from the migrations once, as the tables' owner, and clones it: for
all tests that roll back (`db`, the `django_db` mark), and afresh for each that needs real
commits (`committed_database`), since ledgers refuse to be emptied. Tests run as the
application's role, like the program.
"""

import os
from collections.abc import Iterator
from urllib.parse import quote, urlencode

import pytest
from django.core.management import call_command
from django.db import connections
from psycopg import sql
from pytest_django import DjangoDbBlocker

WORKER = os.environ.get("PYTEST_XDIST_WORKER", "main")
TEMPLATE = f"test_shop_template_{WORKER}"
SHARED = f"test_shop_{WORKER}"
COMMITTED = f"test_shop_committed_{WORKER}"


def administer(statement: str, **names: str) -> None:
    identifiers = {key: sql.Identifier(name) for key, name in names.items()}
    with connections["owner"]._nodb_cursor() as cursor:
        cursor.execute(sql.SQL(statement).format(**identifiers))


def drop(name: str) -> None:
    # Ends the connections that a test has left open, in threads or in processes.
    administer("DROP DATABASE IF EXISTS {name} WITH (FORCE)", name=name)


def clone(name: str) -> None:
    drop(name)
    administer("CREATE DATABASE {name} TEMPLATE {template}", name=name, template=TEMPLATE)


def use(name: str) -> None:
    for connection in connections.all():
        connection.close()
        connection.close_pool()
        # The dictionary that the connections of all threads share.
        connection.settings_dict["NAME"] = name


def url(alias: str) -> str:
    parameters = connections[alias].get_connection_params()
    user = quote(parameters["user"], safe="")
    password = f":{quote(parameters['password'], safe='')}" if "password" in parameters else ""
    place = urlencode({key: parameters[key] for key in ("host", "port") if key in parameters})
    return f"postgresql://{user}{password}@/{parameters['dbname']}?{place}"


@pytest.fixture(scope="session")
def django_db_setup(
    django_test_environment: None, django_db_blocker: DjangoDbBlocker
) -> Iterator[None]:
    with django_db_blocker.unblock():
        own = connections["default"].settings_dict["NAME"]
        drop(TEMPLATE)
        administer("CREATE DATABASE {name}", name=TEMPLATE)
        use(TEMPLATE)
        call_command("migrate", verbosity=0)
        # From here on nobody connects to the template, so that it can be cloned at any time.
        use(SHARED)
        clone(SHARED)
    yield
    with django_db_blocker.unblock():
        use(own)
        drop(SHARED)
        drop(TEMPLATE)


@pytest.fixture
def committed_database(
    request: pytest.FixtureRequest, django_db_setup: None, django_db_blocker: DjangoDbBlocker
) -> Iterator[str]:
    """A database of the test's own, in which it commits; the value is its name."""
    if request.node.get_closest_marker("django_db") or "db" in request.fixturenames:
        pytest.fail("A test commits or rolls back: committed_database goes without django_db.")
    with django_db_blocker.unblock():
        clone(COMMITTED)
        use(COMMITTED)
        yield COMMITTED
        use(SHARED)
        drop(COMMITTED)


@pytest.fixture
def database_environment(committed_database: str) -> dict[str, str]:
    """The environment in which another process works on the test's own database."""
    return {"DATABASE_URL": url("default"), "DATABASE_OWNER_URL": url("owner")}
