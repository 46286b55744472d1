"""Money that comes in."""

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from django.db import transaction

from billing.actions.invoices import invoice_lock
from billing.models import Invoice, InvoiceKind, InvoiceStatus, Payment
from billing.queries.invoices import invoice_due
from shop.errors import FieldError, InvalidInput, Refused
from shop.models import User
from shop.rules.money import rounded


@dataclass(frozen=True)
class MoneyReceived:
    """What came in: `amount` in the invoice's currency."""

    amount: Decimal
    method: str
    received_on: date
    reference: str = ""


@transaction.atomic
def payment_record(
    *, invoice: Invoice, money: MoneyReceived, recorded_at: datetime, recorded_by: User
) -> Payment:
    """Record money received for an issued invoice and return the payment.

    Raises:
        InvalidInput: `amount-too-fine`, when the currency has fewer decimals.
        Refused: `invoice-not-issued`, or `paid-beyond-due`.
    """
    invoice = invoice_lock(invoice.pk)
    if invoice.status != InvoiceStatus.ISSUED:
        raise Refused("invoice-not-issued", "A draft cannot be paid; issue it first.")
    if invoice.kind == InvoiceKind.CREDIT_NOTE:
        raise Refused("paid-beyond-due", "Nothing is due on a credit note.")
    if money.amount != rounded(money.amount, invoice.minor_units):
        detail = f"{invoice.currency} has {invoice.minor_units} decimals."
        error = FieldError("/amount", "amount-too-fine", detail)
        raise InvalidInput("invalid-input", detail, (error,))
    due = invoice_due(invoice)
    if money.amount > due:
        left = f"{rounded(due, invoice.minor_units):f} {invoice.currency}"
        detail = f"{left} are due on invoice {invoice.number}."
        raise Refused("paid-beyond-due", detail, (FieldError("/amount", "beyond-due", detail),))
    return Payment.objects.create(
        invoice=invoice,
        amount=money.amount,
        method=money.method,
        received_on=money.received_on,
        reference=money.reference,
        recorded_at=recorded_at,
        recorded_by=recorded_by,
    )
