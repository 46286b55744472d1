"""Invoices, and what is owed on them."""

from datetime import date
from decimal import Decimal
from typing import Any

from django.db.models import Case, F, OuterRef, Prefetch, Q, QuerySet, Subquery, Sum, Value, When
from django.db.models.functions import Coalesce

from billing.models import Allocation, Invoice, InvoiceKind, InvoiceStatus, WriteOff
from billing.queries.payments import allocations, entries_total, write_offs

NOTHING = Decimal(0)


def invoices(until: date | None = None) -> QuerySet[Any]:
    """Return all invoices and credit notes, newest first.

    Each has `paid_total` by what is allocated to it, `written_off_total`, `credited_total` by
    issued credit notes, and `due_total`, which a credit note has none of. With `until` these are of
    what counts on that day.
    """
    notes = Invoice.objects.filter(corrects=OuterRef("pk"), status=InvoiceStatus.ISSUED)
    if until:
        notes = notes.filter(issued_on__lte=until)
    sums = notes.order_by().values("corrects").annotate(credited=Sum("payable_total"))
    credited = Subquery(sums.values("credited"))
    rows = Invoice.objects.annotate(
        paid_total=entries_total(Allocation, "invoice", until),
        written_off_total=entries_total(WriteOff, "invoice", until),
        credited_total=Coalesce(credited, NOTHING),
    )
    settled = F("paid_total") + F("written_off_total") + F("credited_total")
    left = F("payable_total") - settled
    is_credit = Q(kind=InvoiceKind.CREDIT_NOTE)
    rows = rows.annotate(due_total=Case(When(is_credit, then=Value(NOTHING)), default=left))
    return rows.order_by("-drafted_at", "-id")


def invoices_in_full() -> QuerySet[Any]:
    """Return invoices with their rows and what settled them, in a constant number of statements."""
    return (
        invoices()
        .select_related("corrects")
        .prefetch_related(
            *("lines", "allowances", "taxes", "credit_notes"),
            Prefetch("allocations", allocations().order_by("booked_on", "id")),
            Prefetch("write_offs", write_offs().order_by("booked_on", "id")),
        )
    )


def invoices_open(client_id: int) -> QuerySet[Any]:
    """Return a client's issued invoices on which something is due, the first due first."""
    rows = invoices().filter(client=client_id, status=InvoiceStatus.ISSUED, due_total__gt=0)
    return rows.order_by("due_on", "id")
