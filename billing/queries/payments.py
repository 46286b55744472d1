"""Payments, what became of them, and the credit that clients have."""

from datetime import date
from decimal import Decimal
from typing import Any, TypeVar

from django.db.models import (
    Case,
    Exists,
    F,
    Model,
    OuterRef,
    Prefetch,
    Q,
    QuerySet,
    Subquery,
    Sum,
    Value,
    When,
)
from django.db.models.functions import Coalesce

from billing.models import Allocation, BookEntry, Invoice, Payment, Refund, WriteOff

NOTHING = Decimal(0)
Entry = TypeVar("Entry", bound=BookEntry)


def payments() -> QuerySet[Any]:
    """Return payments and reversals, the latest first.

    Each has `allocated_total`, `refunded_total`, `credit_total`, which is what is left of it, and
    `is_reversed`. Of a reversal nothing is left.
    """
    rows = with_reversed(Payment.objects.all()).annotate(
        allocated_total=entries_total(Allocation, "payment"),
        refunded_total=entries_total(Refund, "payment"),
        reversed_total=entries_total(Payment, "reverses"),
    )
    left = F("amount") + F("reversed_total") - F("allocated_total") - F("refunded_total")
    is_reversal = Q(reverses__isnull=False)
    credit = Case(When(is_reversal, then=Value(NOTHING)), default=left)
    found: QuerySet[Any] = rows.annotate(credit_total=credit)
    return found


def payments_in_full() -> QuerySet[Any]:
    """Return payments with their allocations and refunds, in three statements for any number."""
    return payments().prefetch_related(
        Prefetch("allocations", allocations()), Prefetch("refunds", refunds())
    )


def allocations() -> QuerySet[Allocation]:
    """Return what of payments settled which invoices, the latest first."""
    return with_reversed(Allocation.objects.select_related("payment"))


def refunds() -> QuerySet[Refund]:
    """Return refunds, the latest first."""
    return with_reversed(Refund.objects.select_related("payment"))


def write_offs() -> QuerySet[WriteOff]:
    """Return what was written off, the latest first."""
    return with_reversed(WriteOff.objects.select_related("invoice"))


def entries_total(model: type[Model], key: str, until: date | None = None) -> Coalesce:
    """Return the sum of a book's amounts whose `key` is the outer row, reversals included.

    With `until` it is of the rows that count on that day.
    """
    rows = model._default_manager.filter(**{key: OuterRef("pk")}).order_by().values(key)
    if until:
        rows = rows.filter(booked_on__lte=until)
    return Coalesce(Subquery(rows.annotate(total=Sum("amount")).values("total")), NOTHING)


def with_reversed(rows: QuerySet[Entry]) -> QuerySet[Any]:
    """Return a book's rows, the latest first, each with `is_reversed`."""
    reversal = rows.model._default_manager.filter(reverses=OuterRef("pk"))
    return rows.annotate(is_reversed=Exists(reversal)).order_by("-booked_on", "-id")


def standing(rows: QuerySet[Entry]) -> QuerySet[Entry]:
    """Return a book's rows that are neither reversed nor reversals, the latest first."""
    return with_reversed(rows).filter(is_reversed=False, reverses__isnull=True)


def payment_free_since(payment: Payment) -> date:
    """Return the day from which what is left of a payment was always left of it."""
    days = [payment.booked_on]
    for book in (payment.allocations, payment.refunds):
        days += book.filter(reverses__isnull=False).values_list("booked_on", flat=True)
    return max(days)


def invoices_open_since(invoices: dict[int, Invoice]) -> dict[int, date]:
    """Return of each issued invoice the day from which what is due on it was always due."""
    days = {key: invoice.issued_on for key, invoice in invoices.items() if invoice.issued_on}
    for model in (Allocation, WriteOff):
        reversals = model._default_manager.filter(invoice__in=days, reverses__isnull=False)
        for key, day in reversals.values_list("invoice_id", "booked_on"):
            days[key] = max(days[key], day)
    return days
