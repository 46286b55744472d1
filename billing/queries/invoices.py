"""Invoices, and what is owed on them."""

from decimal import Decimal

from django.db.models import F, OuterRef, QuerySet, Subquery, Sum
from django.db.models.functions import Coalesce

from billing.models import Invoice, Payment

NOTHING = Decimal(0)


def invoices() -> QuerySet[Invoice]:
    """Return all invoices, newest first, each with `paid_total` and `due_total`."""
    payments = Payment.objects.filter(invoice=OuterRef("pk")).order_by().values("invoice")
    paid = Subquery(payments.annotate(paid=Sum("amount")).values("paid"))
    rows = Invoice.objects.annotate(paid_total=Coalesce(paid, NOTHING))
    rows = rows.annotate(due_total=F("gross_total") - F("paid_total"))
    return rows.order_by("-drafted_at", "-id")


def invoices_in_full() -> QuerySet[Invoice]:
    """Return invoices with their lines, taxes and payments, in four statements for any number."""
    return invoices().prefetch_related("lines", "taxes", "payments")


def invoice_due(invoice: Invoice) -> Decimal:
    """Return what is still to be paid of an invoice, in its currency."""
    amounts = invoice.payments.values_list("amount", flat=True)
    return invoice.gross_total - sum(amounts, NOTHING)
