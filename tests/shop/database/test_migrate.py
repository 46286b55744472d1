"""Migrating as the owner, and what the application is granted then."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.db import ProgrammingError, connections

from shop.models import User


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


FORGET = "DELETE FROM django_migrations WHERE app = 'shop' AND name = '{}'"


def test_a_database_that_took_every_earlier_step_has_taken_the_one_in_their_place(
    committed_database,
):
    execute("owner", FORGET.format("0001_schema"))
    call_command("migrate", check_unapplied=True, verbosity=0)


def test_a_database_that_took_some_of_them_is_refused_with_what_to_do(committed_database):
    for step in ("0001_schema", "0003_weekly_sums"):
        execute("owner", FORGET.format(step))
    with pytest.raises(CommandError, match=r"not taken 0003_weekly_sums.*Migrate it with"):
        call_command("migrate", verbosity=0)


def test_another_process_works_on_the_tests_own_database(committed_database, database_environment):
    User.objects.create(username="anna")
    command = "from shop.models import User; User.objects.update(username='berta')"
    subprocess.run(
        [sys.executable, "manage.py", "shell", "--no-imports", "-c", command],
        cwd=Path(__file__).parents[3],
        env=os.environ | database_environment,
        check=True,
    )
    assert User.objects.get().username == "berta"
