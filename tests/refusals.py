"""What the database itself refuses, and by which of its rules."""

from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from django.db import DEFAULT_DB_ALIAS, IntegrityError, connections, transaction

from shop.http.database_rules import database_rules


def as_at_commit(using: str = DEFAULT_DB_ALIAS) -> None:
    """Check what the database leaves until the commit, as a commit would."""
    with connections[using].cursor() as cursor:
        cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")
        cursor.execute("SET CONSTRAINTS ALL DEFERRED")


@contextmanager
def refused(rule: str, using: str = DEFAULT_DB_ALIAS) -> Iterator[None]:
    """Expect the block to break `rule`, at once or at the commit, and undo what it did."""
    with pytest.raises(IntegrityError) as caught, transaction.atomic(using=using):
        yield
        as_at_commit(using)
    assert caught.value.__cause__.diag.constraint_name == rule


@contextmanager
def accepted(using: str = DEFAULT_DB_ALIAS) -> Iterator[None]:
    """Expect the block to break no rule, neither at once nor at the commit."""
    with transaction.atomic(using=using):
        yield
        as_at_commit(using)
