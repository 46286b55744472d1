"""Giving up what nobody will pay."""

from datetime import date
from decimal import Decimal

from django.db import transaction

from billing.actions.book_entries import (
    Recorded,
    amount_check,
    entry_reverse,
    money_lock,
    money_text,
)
from billing.models import Invoice, InvoiceStatus, WriteOff
from billing.queries.invoices import invoices
from shop.errors import FieldError, Refused


@transaction.atomic
def invoice_write_off(
    *,
    invoice: Invoice,
    amount: Decimal | None = None,
    reason: str,
    booked_on: date,
    recorded: Recorded,
) -> WriteOff:
    """Write off an amount of an issued invoice, or all that is due on it; return the write-off.

    Raises:
        InvalidInput: `amount-too-fine`.
        Refused: `invoice-not-issued`, or `written-off-beyond-due`.
    """
    money_lock([invoice.client_id])
    owed = invoices().get(pk=invoice.pk)
    if owed.status != InvoiceStatus.ISSUED:
        raise Refused("invoice-not-issued", "A draft is thrown away rather than written off.")
    amount = owed.due_total if amount is None else amount
    amount_check(amount, owed.currency, owed.minor_units)
    if not 0 < amount <= owed.due_total:
        left = money_text(owed.due_total, owed.currency, owed.minor_units)
        detail = f"{left} are due on invoice {owed.number}."
        error = FieldError("/amount", "beyond-due", detail)
        raise Refused("written-off-beyond-due", detail, (error,))
    return WriteOff.objects.create(
        invoice=owed,
        amount=amount,
        reason=reason,
        booked_on=booked_on,
        recorded_at=recorded.recorded_at,
        recorded_by=recorded.recorded_by,
    )


@transaction.atomic
def write_off_reverse(
    *, write_off: WriteOff, reason: str, booked_on: date, recorded: Recorded
) -> WriteOff:
    """Take back a write-off; the invoice is owed again. Return the reversal.

    Raises:
        Refused: `already-reversed`, or `reversal-stands`.
    """
    money_lock([write_off.invoice.client_id])
    return entry_reverse(write_off, reason, booked_on, recorded)
