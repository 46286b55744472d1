"""Databases for the tests, on the same server as the program's own.

Each run makes a template from the migrations once, as the tables' owner, and clones it: for all
tests that roll back (`db`, the `django_db` mark), and afresh for each that needs real commits
(`committed_database`), since ledgers refuse to be emptied. Tests run as the application's role,
like the program.
"""

from collections.abc import Iterator
from contextlib import ExitStack
from itertools import count
from typing import Any
from urllib.parse import quote, urlencode

import pytest
from django.core.management import call_command
from django.db import connections
from psycopg import sql
from pytest_django import DjangoDbBlocker


class Databases:
    """The databases of this run, or of this worker where several share a run's tests."""

    def __init__(self, cursor: Any) -> None:
        self.cursor = cursor
        # The lowest number that no other run has; what a killed one left behind is taken over.
        number = next(number for number in count(1) if self._is_free(number))
        self.template = f"test_shop_{number}_template"
        self.shared = f"test_shop_{number}"
        self.committed = f"test_shop_{number}_committed"

    def _is_free(self, number: int) -> bool:
        # Kept until the connection is closed.
        self.cursor.execute("SELECT pg_try_advisory_lock(%s)", [number])
        return self.cursor.fetchone()[0]

    def _execute(self, statement: str, **names: str) -> None:
        identifiers = {key: sql.Identifier(name) for key, name in names.items()}
        self.cursor.execute(sql.SQL(statement).format(**identifiers))

    def create(self, name: str) -> None:
        self.drop(name)
        self._execute("CREATE DATABASE {name}", name=name)

    def clone(self, name: str) -> None:
        self.drop(name)
        self._execute("CREATE DATABASE {name} TEMPLATE {source}", name=name, source=self.template)

    def drop(self, name: str) -> None:
        # Ends the connections that a test has left open, in threads or in processes.
        self._execute("DROP DATABASE IF EXISTS {name} WITH (FORCE)", name=name)


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
        own = connections["default"].settings_dict["NAME"]
        databases.create(databases.template)
        use(databases.template)
        call_command("migrate", verbosity=0)
        # From here on nobody connects to the template, so that it can be cloned at any time.
        use(databases.shared)
        databases.clone(databases.shared)
    yield
    with django_db_blocker.unblock():
        use(own)
        databases.drop(databases.shared)
        databases.drop(databases.template)


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
