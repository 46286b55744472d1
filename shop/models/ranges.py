"""Pieces of exclusion constraints that need no extension of PostgreSQL."""

from typing import Any

from django.contrib.postgres.fields import (
    BigIntegerRangeField,
    DateRangeField,
    DateTimeRangeField,
    RangeOperators,
)
from django.db.models import F, Func, Value

FIELD_OF_RANGE = {"daterange": DateRangeField, "tstzrange": DateTimeRangeField}


def same(field: str) -> tuple[Any, str]:
    """Return the expression that makes rows collide when `field` is equal.

    A range of one value stands for the integer, since GiST knows ranges without an extension.
    """
    one_value = Func(
        F(field),
        F(field),
        Value("[]"),
        function="int8range",
        output_field=BigIntegerRangeField(),
    )
    return one_value, RangeOperators.OVERLAPS


def overlapping(start: str, end: str, range_type: str) -> tuple[Any, str]:
    """Return the expression that makes rows collide when [start, end) overlaps.

    `range_type` is daterange or tstzrange; an end that is null means for ever.
    """
    period = Func(F(start), F(end), function=range_type, output_field=FIELD_OF_RANGE[range_type]())
    return period, RangeOperators.OVERLAPS
