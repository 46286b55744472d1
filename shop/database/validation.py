"""What `manage.py check --database default` says about a database."""

from typing import Any

from django.core import checks
from django.db import DEFAULT_DB_ALIAS
from django.db.backends.base.validation import BaseDatabaseValidation

OLDEST_MAJOR = 15

# A superuser is a member of every role, so that it counts as an owner of everything too.
POWERS = """
    SELECT rolsuper, EXISTS (
        SELECT FROM pg_catalog.pg_class
        WHERE relnamespace = to_regnamespace('public') AND relkind IN ('r', 'p')
          AND pg_catalog.pg_has_role(relowner, 'USAGE')
    )
    FROM pg_catalog.pg_roles WHERE rolname = current_user
"""


class DatabaseValidation(BaseDatabaseValidation):
    """Checks that the server is recent enough and the application's role is not too mighty."""

    oldest_major = OLDEST_MAJOR

    def check(self, **kwargs: Any) -> list[checks.CheckMessage]:
        """Return what is wrong with this database."""
        return [*super().check(**kwargs), *self._version(), *self._role()]

    def _version(self) -> list[checks.CheckMessage]:
        major, _ = self.connection.get_database_version()
        if major >= self.oldest_major:
            return []
        return [
            checks.Error(
                f"The database {self.connection.alias!r} is on PostgreSQL {major}.",
                hint=f"Move it to PostgreSQL {self.oldest_major} or later.",
                id="shop.E001",
            )
        ]

    def _role(self) -> list[checks.CheckMessage]:
        if self.connection.alias != DEFAULT_DB_ALIAS:
            return []
        with self.connection.cursor() as cursor:
            cursor.execute(POWERS)
            is_superuser, owns_tables = cursor.fetchone()
        if not (is_superuser or owns_tables):
            return []
        what = "is superuser" if is_superuser else "owns the tables"
        return [
            checks.Warning(
                f"The application's role {what}: it could empty or change what is append-only.",
                hint=(
                    "Let DATABASE_URL name a role that owns nothing and DATABASE_OWNER_URL the"
                    " tables' owner, then run migrate, which grants the first what it needs."
                ),
                id="shop.W001",
            )
        ]
