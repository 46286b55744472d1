"""Migrate as the tables' owner, and let the application use what there is then."""

from typing import Any

from django.core.management.base import CommandError, CommandParser
from django.core.management.commands import migrate
from django.db import DEFAULT_DB_ALIAS, connections
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder
from psycopg import sql

OWNER_ALIAS = "owner"

GRANTS = """
    GRANT USAGE ON SCHEMA public TO {role};
    GRANT SELECT, INSERT, UPDATE, DELETE ON ALL TABLES IN SCHEMA public TO {role};
    GRANT USAGE ON ALL SEQUENCES IN SCHEMA public TO {role};
"""


class Command(migrate.Command):
    """Django's migrate, on the owner's connection unless another is named."""

    def add_arguments(self, parser: CommandParser) -> None:
        """Declare Django's arguments, with the owner's connection as the default."""
        super().add_arguments(parser)
        parser.set_defaults(database=OWNER_ALIAS)

    def get_check_kwargs(self, options: dict[str, Any]) -> Any:
        """Return what is checked first: the application's role as well."""
        databases = [options["database"], DEFAULT_DB_ALIAS]
        return {**super().get_check_kwargs(options), "databases": databases}

    def handle(self, *args: Any, **options: Any) -> None:
        """Migrate, then grant.

        Raises:
            CommandError: the database has taken some of the steps that one step stands for now.
        """
        _refuse_halfway(options["database"])
        super().handle(*args, **options)
        only_asked = options["plan"] or options["check_unapplied"]
        if options["database"] == OWNER_ALIAS and not only_asked:
            _grant()


def _refuse_halfway(database: str) -> None:
    # Read from the files alone: with the database's own steps the loader would fail before us.
    steps = MigrationLoader(None).replacements
    applied = MigrationRecorder(connections[database]).applied_migrations()
    for (app, name), step in steps.items():
        taken = [each in applied for each in step.replaces]
        if any(taken) and not all(taken):
            missing = step.replaces[taken.index(False)][1]
            raise CommandError(
                f"This database is too old for this program: {app}.{name} stands for earlier steps,"
                f" of which it has not taken {missing}. Migrate it with a version of the program"
                " that still has that step, then with this one."
            )


def _grant() -> None:
    role = connections[DEFAULT_DB_ALIAS].settings_dict["USER"]
    owner = connections[OWNER_ALIAS]
    if role == owner.settings_dict["USER"]:
        return
    with owner.cursor() as cursor:
        cursor.execute(sql.SQL(GRANTS).format(role=sql.Identifier(role)))
