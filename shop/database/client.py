"""The terminal of `manage.py dbshell`."""

from collections.abc import Iterable
from typing import Any

from django.db.backends.postgresql import client


class DatabaseClient(client.DatabaseClient):
    """psql on this database; the embedded server brings its own."""

    @classmethod
    def settings_to_cmd_args_env(
        cls, settings_dict: dict[str, Any], parameters: Iterable[str]
    ) -> tuple[list[str], dict[str, str] | None]:
        """Return psql's command line and what to add to its environment."""
        arguments, environment = super().settings_to_cmd_args_env(settings_dict, parameters)
        server = settings_dict.get("EMBEDDED_SERVER")
        if server and (psql := server.binaries / "psql").exists():
            arguments[0] = str(psql)
        return arguments, environment

    def runshell(self, parameters: Iterable[str]) -> None:
        """Run psql until the person leaves it, on a server that runs."""
        self.connection.ensure_connection()
        super().runshell(parameters)
