"""What the database itself refuses, and by which of its rules."""

from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from django.db import DEFAULT_DB_ALIAS, IntegrityError, OperationalError, connections, transaction


@contextmanager
def accepted(using: str = DEFAULT_DB_ALIAS) -> Iterator[None]:
    """Expect the block to break no rule, neither at once nor at the commit."""
    with transaction.atomic(using=using), connections[using].cursor() as cursor:
        yield
        cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")
        cursor.execute("SET CONSTRAINTS ALL DEFERRED")


@contextmanager
def refused(rule: str, using: str = DEFAULT_DB_ALIAS) -> Iterator[None]:
    """Expect the block to break `rule`, at once or at the commit, and undo what it did."""
    with pytest.raises(IntegrityError) as caught, accepted(using):
        yield
    assert caught.value.__cause__.diag.constraint_name == rule


@contextmanager
def impatient(using: str) -> Iterator[None]:
    """Wait for locks no longer than a moment."""
    with transaction.atomic(using=using), connections[using].cursor() as cursor:
        cursor.execute("SET LOCAL lock_timeout = '100ms'")
        yield


@contextmanager
def kept_waiting(using: str) -> Iterator[None]:
    """Expect the block to wait for what another connection has not committed yet."""
    with pytest.raises(OperationalError) as caught, impatient(using):
        yield
    # Lock not available. Source: PostgreSQL documentation, appendix A.
    assert caught.value.__cause__.sqlstate == "55P03"
