"""The ranges of measured quantities."""

from django.db.models import QuerySet

from diagnostics.models import MeasuredRange
from diagnostics.rules.ranges import Range


def ranges_in_full() -> QuerySet[MeasuredRange]:
    """Return the ranges with their components, by code."""
    return MeasuredRange.objects.select_related("component").order_by("code")


def ranges_for(action: str) -> QuerySet[MeasuredRange]:
    """Return the ranges that hold for a kind of action: those that judge first, then by code."""
    return ranges_in_full().filter(actions__contains=[action]).order_by("-judges", "code")


def range_of(row: MeasuredRange) -> Range:
    """Return a row of the catalogue as the plain range that values are judged by."""
    return Range(
        code=row.code,
        name=row.name,
        quantity=row.quantity,
        low=row.low,
        high=row.high,
        section=row.section,
        judges=row.judges,
        provenance=row.provenance,
        source=row.source,
    )
