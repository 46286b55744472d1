"""What jobs earned: what was invoiced for them, less parts at cost and the minutes they took."""

from datetime import date
from decimal import Decimal
from typing import Any

from django.conf import settings
from django.db.models import (
    DecimalField,
    ExpressionWrapper,
    F,
    OuterRef,
    QuerySet,
    Subquery,
    Sum,
    Value,
)
from django.db.models.functions import Coalesce, Round

from billing.models import Invoice, InvoiceKind, InvoiceStatus, Quote, QuoteStatus
from billing.queries.payments import NOTHING
from diagnostics.models import BenchWork
from shop.models import Move, PlaceKind
from shop.rules.money import minor_units

MONEY = DecimalField(max_digits=14, decimal_places=3)


def job_margins(
    *, opened_on: date, closed_on: date, labour_cost_per_hour: Decimal | None
) -> QuerySet[Any]:
    """Return the jobs completed in a period, the last first, in one statement.

    Each has `quoted_net`, `invoiced_net` by issued invoices less their credit notes, `parts_cost`
    by the moving weighted average (IAS 2), `minutes` of bench work, `labour_cost` of these, and
    `margin`. Where the shop does not say what an hour costs it, the last two are null.
    """
    decimals = minor_units(settings.CURRENCY)
    issued = Invoice.objects.filter(status=InvoiceStatus.ISSUED)
    demands = issued.filter(quote=OuterRef("pk")).exclude(kind=InvoiceKind.CREDIT_NOTE)
    notes = issued.filter(corrects__quote=OuterRef("pk"))
    fitted = Move.objects.filter(from_place=OuterRef("bag"), to_place__kind=PlaceKind.USED)
    work = BenchWork.objects.filter(bag=OuterRef("bag"))
    jobs = Quote.objects.filter(
        status=QuoteStatus.COMPLETED, completed_at__date__range=(opened_on, closed_on)
    ).annotate(
        quoted_net=Coalesce("agreement__net_total", "net_total"),
        invoiced_net=_sum(demands, "net_total") - _sum(notes, "net_total"),
        parts_cost=Round(_sum(fitted, "value"), precision=decimals),
        minutes=_sum(work, "minutes"),
    )
    hour = Value(labour_cost_per_hour, output_field=MONEY)
    cost = ExpressionWrapper(F("minutes") * hour / Value(Decimal(60)), output_field=MONEY)
    priced = jobs.annotate(labour_cost=Round(cost, precision=decimals))
    margin = F("invoiced_net") - F("parts_cost") - F("labour_cost")
    return priced.annotate(margin=margin).select_related("client").order_by("-completed_at", "-id")


def _sum(rows: QuerySet[Any], column: str) -> Coalesce:
    sums = rows.order_by().values(one=Value(1)).annotate(total=Sum(column))
    return Coalesce(Subquery(sums.values("total")), NOTHING)
