"""Databases for tests and measurements, on the same server as the program's own.

A run makes a template from the migrations once, as the tables' owner, and clones it.
"""

from itertools import count
from typing import Any
from urllib.parse import quote, urlencode

from django.core.management import call_command
from django.db import ProgrammingError, connections
from psycopg import sql


class Databases:
    """The databases of this run, or of this worker where several share a run's tests."""

    def __init__(self, cursor: Any) -> None:
        self.cursor = cursor
        self.own = connections["default"].settings_dict["NAME"]
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
        try:
            self._execute("DROP DATABASE IF EXISTS {name} WITH (FORCE)", name=name)
        except ProgrammingError:
            # An autovacuum worker is a superuser's, which FORCE may not end; PostgreSQL does it
            # by itself when nobody else is there.
            self._execute("DROP DATABASE IF EXISTS {name}", name=name)

    def migrate(self) -> None:
        """Make the template, and work on a clone of it."""
        self.create(self.template)
        use(self.template)
        call_command("migrate", verbosity=0)
        # From here on nobody connects to the template, so that it can be cloned at any time.
        use(self.shared)
        self.clone(self.shared)

    def remove(self) -> None:
        """Work on the program's own database again, and drop the clone and the template."""
        use(self.own)
        self.drop(self.shared)
        self.drop(self.template)


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
