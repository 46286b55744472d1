"""What the application's role may do, and what only the tables' owner may."""

import pytest
from django.db import DatabaseError, connections, transaction

from shop.database.base import DatabaseWrapper
from shop.database.validation import DatabaseValidation
from shop.models import User

pytestmark = pytest.mark.django_db(databases=["default", "owner"])


def execute(alias: str, statement: str) -> None:
    with transaction.atomic(alias), connections[alias].cursor() as cursor:
        cursor.execute(statement)


FORBIDDEN = [
    "TRUNCATE shop_user CASCADE",
    "DROP TABLE shop_user CASCADE",
    "ALTER TABLE shop_user DISABLE TRIGGER USER",
    "ALTER TABLE shop_user ADD COLUMN more integer",
    "CREATE TABLE more (id integer)",
    "CREATE SCHEMA more",
    "CREATE ROLE more",
    "SET ROLE shop_owner",
    "SET session_replication_role = replica",
    "COPY shop_user TO PROGRAM 'cat'",
]


@pytest.mark.parametrize("statement", FORBIDDEN)
def test_the_application_cannot(statement):
    with pytest.raises(DatabaseError, match=r"permission denied|must be owner|must be superuser"):
        execute("default", statement)


def test_the_application_reads_and_writes_rows():
    user = User.objects.create(username="anna")
    User.objects.filter(pk=user.pk).update(username="berta")
    assert User.objects.get(pk=user.pk).username == "berta"
    user.delete()
    assert not User.objects.filter(pk=user.pk).exists()


def test_the_owner_changes_tables_and_is_not_superuser():
    with connections["owner"].cursor() as cursor:
        cursor.execute("SELECT rolsuper FROM pg_roles WHERE rolname = current_user")
        assert cursor.fetchone() == (False,)
    with transaction.atomic("owner"):
        execute("owner", "ALTER TABLE shop_user ADD COLUMN more integer")
        transaction.set_rollback(True, using="owner")


def test_limits_hold_for_the_application_and_not_for_long_migrations():
    limits = {}
    for alias in ("default", "owner"):
        with connections[alias].cursor() as cursor:
            cursor.execute(
                "SELECT current_setting('statement_timeout'), current_setting('lock_timeout'),"
                " current_setting('idle_in_transaction_session_timeout')"
            )
            limits[alias] = cursor.fetchone()
    assert limits == {"default": ("30s", "10s", "1min"), "owner": ("0", "10s", "0")}


def test_the_checks_accept_the_application_and_refuse_the_owner_in_its_place():
    assert connections["default"].validation.check() == []
    mighty = DatabaseWrapper(
        connections["default"].settings_dict | {"USER": connections["owner"].settings_dict["USER"]}
    )
    (warning,) = mighty.validation.check()
    mighty.close()
    assert warning.id == "shop.W001"
    assert "DATABASE_OWNER_URL" in warning.hint


def test_the_checks_refuse_a_server_that_is_too_old():
    class Later(DatabaseValidation):
        oldest_major = 99

    (error,) = Later(connections["default"]).check()
    assert error.id == "shop.E001"
