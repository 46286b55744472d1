"""Migrate as the tables' owner, and let the application use what there is then."""

from typing import Any

from django.core.management.base import CommandParser
from django.core.management.commands import migrate
from django.db import DEFAULT_DB_ALIAS, connections
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
        """Migrate, then grant."""
        super().handle(*args, **options)
        only_asked = options["plan"] or options["check_unapplied"]
        if options["database"] == OWNER_ALIAS and not only_asked:
            _grant()


def _grant() -> None:
    role = connections[DEFAULT_DB_ALIAS].settings_dict["USER"]
    owner = connections[OWNER_ALIAS]
    if role == owner.settings_dict["USER"]:
        return
    with owner.cursor() as cursor:
        cursor.execute(sql.SQL(GRANTS).format(role=sql.Identifier(role)))
