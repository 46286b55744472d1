"""How long suppliers really take: from the day an order was sent to each receipt of it."""

from typing import Any

from django.contrib.postgres.fields import ArrayField
from django.db.models import (
    Aggregate,
    Count,
    DurationField,
    ExpressionWrapper,
    F,
    OuterRef,
    QuerySet,
    Subquery,
)
from django.db.models.functions import Coalesce

from shop.models import ReceiptLine

DAYS = ExpressionWrapper(
    F("receipt__received_on") - F("order_line__order__sent_on"), output_field=DurationField()
)


class Quartiles(Aggregate):
    """The lower quartile, the median and the upper quartile, between values where they fall so.

    Source: the continuous percentile of SQL:2003, `percentile_cont`; type 7 of R. J. Hyndman and
    Y. Fan, "Sample Quantiles in Statistical Packages", The American Statistician 50, 1996.
    """

    template = "percentile_cont(ARRAY[0.25, 0.5, 0.75]) WITHIN GROUP (ORDER BY %(expressions)s)"


def with_lead_times(rows: QuerySet[Any], **same: str) -> QuerySet[Any]:
    """Return `rows` with the observed `lead_times`, three durations, and their `receipt_count`.

    `same` says which column of a row each lookup of a receipt's line has to equal. A line of an
    order that came in parts counts once for each.
    """
    outer = {lookup: OuterRef(column) for lookup, column in same.items()}
    lines = ReceiptLine.objects.filter(**outer).order_by().values(*outer)
    quartiles = Quartiles(DAYS, output_field=ArrayField(DurationField()))
    annotated: QuerySet[Any] = rows.annotate(
        lead_times=Subquery(lines.annotate(quartiles=quartiles).values("quartiles")),
        receipt_count=Coalesce(Subquery(lines.annotate(count=Count("pk")).values("count")), 0),
    )
    return annotated
