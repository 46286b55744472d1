"""What every command needs that reads or writes the shop's tables."""

from django.core.management.base import BaseCommand, CommandError
from django.db import DEFAULT_DB_ALIAS, connections
from django.db.migrations.executor import MigrationExecutor


class TablesCommand(BaseCommand):
    """A command that does nothing before the database has the tables of this version."""

    requires_migrations_checks = True

    def check_migrations(self) -> None:
        """Refuse where Django would only warn, since the first statement would fail.

        Raises:
            CommandError: there are no tables yet, or those of an older version.
        """
        executor = MigrationExecutor(connections[DEFAULT_DB_ALIAS])
        if executor.migration_plan(executor.loader.graph.leaf_nodes()):
            raise CommandError(
                "The database does not have the tables of this version: run python manage.py serve,"
                " or python manage.py migrate and then load_catalogue."
            )
