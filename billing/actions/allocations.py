"""What of payments settles which invoices."""

from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Decimal
from typing import Any

from django.db import transaction

from billing.actions.book_entries import (
    Recorded,
    entries_reversed,
    entry_like,
    entry_reverse,
    money_lock,
    money_text,
)
from billing.models import Allocation, Invoice, InvoiceStatus, Payment
from billing.queries.invoices import invoices, invoices_open
from billing.queries.payments import (
    invoices_open_since,
    payment_free_since,
    payments,
    standing,
)
from billing.rules.settling import NOTHING, Share, released, shared_in_order
from shop.errors import FieldError, Refused
from shop.rules.money import rounded


@transaction.atomic
def payment_allocate(
    *, payment: Payment, shares: Sequence[Share] | None = None, recorded: Recorded
) -> list[Allocation]:
    """Settle invoices with what is left of a payment and return the allocations.

    `shares` are amounts by invoice; without them, what is due first is settled first.

    Raises:
        Refused: `beyond-payment`, or what is wrong with a share (see `allocations_add`).
    """
    money_lock([payment.client_id])
    left = payments().get(pk=payment.pk).credit_total
    if shares is None:
        open_now = invoices_open(payment.client_id).filter(currency=payment.currency)
        dues = [Share(row.pk, row.due_total) for row in open_now]
        shares = shared_in_order(left, dues)
    if not shares:
        raise Refused("nothing-to-allocate", "The payment has nothing left, or nothing is due.")
    return allocations_add(payment, left, shares, recorded)


def allocations_add(
    payment: Payment, left: Decimal, shares: Sequence[Share], recorded: Recorded
) -> list[Allocation]:
    """Settle invoices with shares of a payment, of which `left` is left; its client is locked.

    An allocation counts from the first day on which there were both the money and the debt.

    Raises:
        Refused: `invoice-unknown`, `other-client`, `invoice-not-issued`, `paid-beyond-due`,
            `amount-too-fine`, or `beyond-payment`.
    """
    found = invoices().in_bulk([share.row_id for share in shares])
    errors = [
        FieldError(f"/allocations/{index}/{member}", code, detail)
        for index, share in enumerate(shares)
        for member, code, detail in _wrong(payment, share, found.get(share.row_id))
    ]
    if errors:
        raise Refused(errors[0].code, errors[0].detail, tuple(errors))
    if sum((share.amount for share in shares), NOTHING) > left:
        there = money_text(left, payment.currency, payment.minor_units)
        raise Refused("beyond-payment", f"Of the payment {there} are left.")
    free_since, open_since = payment_free_since(payment), invoices_open_since(found)
    return Allocation.objects.bulk_create(
        Allocation(
            payment=payment,
            invoice_id=share.row_id,
            amount=share.amount,
            booked_on=max(free_since, open_since[share.row_id]),
            recorded_at=recorded.recorded_at,
            recorded_by=recorded.recorded_by,
        )
        for share in shares
    )


def _wrong(payment: Payment, share: Share, invoice: Any) -> Iterator[tuple[str, str, str]]:
    """Yield the member of a share that is wrong, with the code and a sentence."""
    if invoice is None:
        yield "invoice", "invoice-unknown", f"There is no invoice {share.row_id}."
    elif (invoice.client_id, invoice.currency) != (payment.client_id, payment.currency):
        sentence = "The invoice is of another client or currency than the payment."
        yield "invoice", "other-client", sentence
    elif invoice.status != InvoiceStatus.ISSUED:
        yield "invoice", "invoice-not-issued", "A draft cannot be paid; issue it first."
    elif share.amount != rounded(share.amount, invoice.minor_units):
        sentence = f"{invoice.currency} has {invoice.minor_units} decimals."
        yield "amount", "amount-too-fine", sentence
    elif share.amount > invoice.due_total:
        due = money_text(invoice.due_total, invoice.currency, invoice.minor_units)
        yield "amount", "paid-beyond-due", f"{due} are due on invoice {invoice.number}."


@transaction.atomic
def allocation_reverse(
    *, allocation: Allocation, reason: str, booked_on: date, recorded: Recorded
) -> Allocation:
    """Take back an allocation: the invoice is owed again, and the payment is credit again.

    Raises:
        Refused: `already-reversed`, or `reversal-stands`.
    """
    money_lock([allocation.payment.client_id])
    return entry_reverse(allocation, reason, booked_on, recorded)


def invoice_release(
    invoice: Invoice, amount: Decimal, reason: str, booked_on: date, recorded: Recorded
) -> None:
    """Take back `amount` of what settled an invoice: write-offs first, then the latest payments.

    What is paid becomes the client's credit. The client is locked.
    """
    for book in (invoice.write_offs, invoice.allocations):
        rows = list(standing(book.all()))
        now = min(amount, sum((row.amount for row in rows), NOTHING))
        amount -= now
        release = released(now, [Share(row.pk, row.amount) for row in rows])
        taken = [row for row in rows if row.pk in release.reversed_ids]
        entries_reversed(taken, reason, booked_on, recorded)
        if release.kept:
            kept = {"amount": release.kept, "booked_on": booked_on}
            entry_like(taken[-1], recorded, **kept).save()
