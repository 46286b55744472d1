"""Django's PostgreSQL backend, on a server that starts when the first connection is made."""

from typing import Any, ClassVar

import psycopg
from django.db.backends.base.base import NO_DB_ALIAS
from django.db.backends.postgresql import base
from psycopg_pool import ConnectionPool

from shop.database.client import DatabaseClient
from shop.database.server import EmbeddedServer
from shop.database.validation import DatabaseValidation

Pool = ConnectionPool[psycopg.Connection[Any]]


class DatabaseWrapper(base.DatabaseWrapper):
    """A connection to PostgreSQL; EMBEDDED_SERVER in its settings is the server to keep running."""

    client_class = DatabaseClient
    validation_class = DatabaseValidation
    _connection_pools: ClassVar[dict[str, Pool]] = {}

    @property
    def pool(self) -> Pool | None:
        """The connections that this process's threads share, None when each has its own."""
        options = self.settings_dict["OPTIONS"].get("pool")
        if self.alias == NO_DB_ALIAS or not options:
            return None
        if self.alias not in self._connection_pools:
            # Not open yet: of two threads that come here at once, one throws its pool away.
            self._connection_pools.setdefault(self.alias, self._closed_pool(options))
        return self._connection_pools[self.alias]

    def get_new_connection(self, conn_params: dict[str, Any]) -> psycopg.Connection[Any]:
        """Return a connection, from the pool where there is one.

        Raises:
            psycopg.OperationalError: there is no server to connect to.
        """
        if self.pool is None:
            self._ensure_server()
        connection: psycopg.Connection[Any] = super().get_new_connection(conn_params)
        return connection

    def _ensure_server(self) -> None:
        server: EmbeddedServer | None = self.settings_dict.get("EMBEDDED_SERVER")
        if server is not None:
            server.ensure_running()

    def _closed_pool(self, options: dict[str, Any]) -> Pool:
        parameters = self.get_connection_params() | {"autocommit": True}

        def connect_parameters() -> dict[str, Any]:
            self._ensure_server()
            return parameters

        def check(connection: psycopg.Connection[Any]) -> None:
            try:
                Pool.check_connection(connection)
            except psycopg.OperationalError:
                # The server was lost, and with it the others. Left to itself the pool tries
                # them one by one with a growing delay between, 7 s for four of them.
                pool.drain()
                raise

        pool: Pool = ConnectionPool(
            kwargs=connect_parameters,
            open=False,
            configure=self._configure_connection,  # type: ignore[attr-defined]  # stubs lack it
            check=check,
            **options,
        )
        return pool
