"""Pieces of exclusion constraints that need no extension of PostgreSQL."""

from typing import Any

from django.contrib.postgres.fields import (
    BigIntegerRangeField,
    DateRangeField,
    DateTimeRangeField,
    RangeOperators,
)
from django.db.models import BigIntegerField, F, Func, Value
from django.db.models.functions import Concat, Lower

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


def same_text(*fields: str) -> tuple[Any, str]:
    """Return the expression that makes rows collide when texts are equal, but for their case.

    A number drawn from the texts stands for them, for there is no range of texts. Two of 2^64 that
    happened to be the same would refuse a row, and never let one through.
    """
    texts = [part for field in fields for part in (F(field), Value("/"))]
    number = Func(
        Lower(Concat(*texts)),
        Value(0),
        function="hashtextextended",
        output_field=BigIntegerField(),
    )
    one_value = Func(
        number, number, Value("[]"), function="int8range", output_field=BigIntegerRangeField()
    )
    return one_value, RangeOperators.OVERLAPS


def overlapping(start: str, end: str, range_type: str) -> tuple[Any, str]:
    """Return the expression that makes rows collide when [start, end) overlaps.

    `range_type` is daterange or tstzrange; an end that is null means for ever.
    """
    period = Func(F(start), F(end), function=range_type, output_field=FIELD_OF_RANGE[range_type]())
    return period, RangeOperators.OVERLAPS
