"""Invoices, and what is owed on them."""

from decimal import Decimal

from django.db.models import Case, F, OuterRef, Q, QuerySet, Subquery, Sum, Value, When
from django.db.models.functions import Coalesce, Greatest

from billing.models import Invoice, InvoiceKind, InvoiceStatus, Payment

NOTHING = Decimal(0)


def invoices() -> QuerySet[Invoice]:
    """Return all invoices and credit notes, newest first.

    Each has `paid_total`, `credited_total` by issued credit notes, and `due_total`, which a credit
    note has none of.
    """
    payments = Payment.objects.filter(invoice=OuterRef("pk")).order_by().values("invoice")
    paid = Subquery(payments.annotate(paid=Sum("amount")).values("paid"))
    notes = Invoice.objects.filter(corrects=OuterRef("pk"), status=InvoiceStatus.ISSUED)
    sums = notes.order_by().values("corrects").annotate(credited=Sum("payable_total"))
    credited = Subquery(sums.values("credited"))
    rows = Invoice.objects.annotate(
        paid_total=Coalesce(paid, NOTHING), credited_total=Coalesce(credited, NOTHING)
    )
    left = Greatest(F("payable_total") - F("paid_total") - F("credited_total"), NOTHING)
    is_credit = Q(kind=InvoiceKind.CREDIT_NOTE)
    rows = rows.annotate(due_total=Case(When(is_credit, then=Value(NOTHING)), default=left))
    return rows.order_by("-drafted_at", "-id")


def invoices_in_full() -> QuerySet[Invoice]:
    """Return invoices with their rows and payments, in six statements for any number."""
    return (
        invoices()
        .select_related("corrects")
        .prefetch_related("lines", "allowances", "taxes", "payments", "credit_notes")
    )


def invoice_due(invoice: Invoice) -> Decimal:
    """Return what is still to be paid of an invoice, in its currency."""
    paid = invoice.payments.values_list("amount", flat=True)
    issued = invoice.credit_notes.filter(status=InvoiceStatus.ISSUED)
    settled = sum([*paid, *issued.values_list("payable_total", flat=True)], NOTHING)
    return max(invoice.payable_total - settled, NOTHING)
