"""How long money has been owed."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal


def bucket_names(limits: Sequence[int]) -> list[str]:
    """Return the names of the buckets that end after these days overdue, the last of them open."""
    starts = [1, *(limit + 1 for limit in limits[:-1])]
    ranges = [f"{start} to {end}" for start, end in zip(starts, limits, strict=True)]
    return ["not due", *ranges, f"over {limits[-1]}"]


def bucket_of(days_overdue: int, limits: Sequence[int]) -> int:
    """Return which bucket what is so many days overdue is in; 0 is what is not due yet."""
    if days_overdue <= 0:
        return 0
    return 1 + sum(days_overdue > limit for limit in limits)


def days_overdue(due_on: date, on: date) -> int:
    """Return how many days after its due day it is, 0 until then."""
    return max((on - due_on).days, 0)


def summed(rows: Sequence[Sequence[Decimal]], width: int) -> list[Decimal]:
    """Return the sums of the columns of rows that are `width` wide."""
    return [sum((row[column] for row in rows), Decimal(0)) for column in range(width)]
