"""Migrating as the owner, and what the application is granted then."""

import pytest
from django.core.management import call_command
from django.db import ProgrammingError, connections


def execute(alias: str, statement: str) -> None:
    with connections[alias].cursor() as cursor:
        cursor.execute(statement)


def test_migrate_grants_what_was_added_since(committed_database):
    execute("owner", "CREATE TABLE more (id integer GENERATED ALWAYS AS IDENTITY)")
    with pytest.raises(ProgrammingError, match="permission denied"):
        execute("default", "INSERT INTO more DEFAULT VALUES")
    call_command("migrate", verbosity=0)
    execute("default", "INSERT INTO more DEFAULT VALUES")


def test_migrate_that_only_plans_grants_nothing(committed_database):
    execute("owner", "CREATE TABLE more (id integer)")
    call_command("migrate", plan=True, verbosity=0)
    with pytest.raises(ProgrammingError, match="permission denied"):
        execute("default", "SELECT FROM more")
