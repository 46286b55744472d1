"""What was sold, and what tax is on it, by period and rate."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.conf import settings
from django.db.models import Case, Count, DateField, F, Q, Sum, When
from django.db.models.functions import Coalesce, Trunc

from billing.models import Invoice, InvoiceKind, InvoiceStatus, InvoiceTax
from billing.queries.payments import NOTHING

TOTALS = ("net_total", "tax_total", "gross_total", "rounding_amount", "payable_total")
RATE = ("starts_on", "tax_code", "tax_percent")

Row = dict[str, Any]


@dataclass(frozen=True)
class SalesPeriod:
    """What invoices demanded in a month, quarter or year, less what credit notes took back.

    `rates` are sums of the documents' taxes, `totals` of the documents themselves.
    """

    starts_on: date
    rates: list[Row]
    totals: Row


def sales_summary(*, opened_on: date, closed_on: date, by: str) -> list[SalesPeriod]:
    """Return what was sold between two days by `month`, `quarter` or `year`, in two statements."""
    rates = defaultdict(list)
    for row in _by_rate((opened_on, closed_on), by):
        rates[row["starts_on"]].append(row)
    return [
        SalesPeriod(totals["starts_on"], rates[totals["starts_on"]], totals)
        for totals in _totals((opened_on, closed_on), by)
    ]


def _issued(period: tuple[date, date], document: str = "") -> Q:
    return Q(
        **{
            f"{document}status": InvoiceStatus.ISSUED,
            f"{document}issued_on__range": period,
            f"{document}currency": settings.CURRENCY,
        }
    )


def _by_rate(period: tuple[date, date], by: str) -> Any:
    is_credit = Q(invoice__kind=InvoiceKind.CREDIT_NOTE)
    taxes = InvoiceTax.objects.filter(_issued(period, "invoice__"))
    starts_on = Trunc("invoice__issued_on", by, output_field=DateField())
    sums = {
        f"{sort}_{name}": Coalesce(Sum(f"{column}_amount", filter=which), NOTHING)
        for sort, which in (("invoiced", ~is_credit), ("credited", is_credit))
        for name, column in (("net", "taxable"), ("tax", "tax"))
    }
    rows = taxes.annotate(starts_on=starts_on).order_by(*RATE).values(*RATE).annotate(**sums)
    return rows.annotate(
        net=F("invoiced_net") - F("credited_net"), tax=F("invoiced_tax") - F("credited_tax")
    )


def _totals(period: tuple[date, date], by: str) -> Any:
    is_credit = Q(kind=InvoiceKind.CREDIT_NOTE)
    sums = {name: Sum(Case(When(is_credit, then=-F(name)), default=F(name))) for name in TOTALS}
    counts = {
        "invoice_count": Count("pk", filter=~is_credit),
        "credit_note_count": Count("pk", filter=is_credit),
    }
    issued = Invoice.objects.filter(_issued(period))
    by_start = issued.annotate(starts_on=Trunc("issued_on", by, output_field=DateField()))
    return by_start.order_by("starts_on").values("starts_on").annotate(**counts, **sums)
