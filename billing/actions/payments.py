"""Money that comes in, and money that goes back."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.conf import settings
from django.db import transaction

from billing.actions.allocations import allocations_add
from billing.actions.book_entries import (
    Recorded,
    amount_check,
    entries_reversed,
    entry_reverse,
    money_lock,
    money_text,
)
from billing.models import Invoice, InvoiceKind, InvoiceStatus, Payment, Refund, StatementEntry
from billing.queries.invoices import invoices
from billing.queries.payments import payment_free_since, payments, standing
from billing.rules.settling import Share
from shop.errors import FieldError, InvalidInput, Refused
from shop.models import Client
from shop.rules.money import minor_units


@dataclass(frozen=True)
class Money:
    """What changed hands, in the shop's currency, how, on which day, and where the bank says so."""

    amount: Decimal
    method: str
    booked_on: date
    reference: str = ""
    statement_entry: StatementEntry | None = None


@transaction.atomic
def payment_record(
    *, client: Client, money: Money, shares: Sequence[Share] = (), recorded: Recorded
) -> Payment:
    """Record money received from a client, settle invoices with it, and return the payment.

    What no share names is the client's credit.

    Raises:
        InvalidInput: `amount-too-fine`, when the currency has fewer decimals.
        Refused: what is wrong with a share (see `allocations_add`).
    """
    money_lock([client.pk])
    decimals = minor_units(settings.CURRENCY)
    amount_check(money.amount, settings.CURRENCY, decimals)
    payment = Payment.objects.create(
        client=client,
        currency=settings.CURRENCY,
        minor_units=decimals,
        amount=money.amount,
        method=money.method,
        booked_on=money.booked_on,
        reference=money.reference,
        statement_entry=money.statement_entry,
        recorded_at=recorded.recorded_at,
        recorded_by=recorded.recorded_by,
    )
    if shares:
        allocations_add(payment, money.amount, shares, recorded)
    return payment


@transaction.atomic
def invoice_pay(
    *, invoice: Invoice, money: Money, keep_rest_as_credit: bool = False, recorded: Recorded
) -> Payment:
    """Record money received for one issued invoice and return the payment.

    Raises:
        InvalidInput: `amount-too-fine`.
        Refused: `invoice-not-issued`, or `paid-beyond-due` unless the rest is kept as credit.
    """
    money_lock([invoice.client_id])
    owed = invoices().select_related("client").get(pk=invoice.pk)
    amount_check(money.amount, owed.currency, owed.minor_units)
    if owed.status != InvoiceStatus.ISSUED:
        raise Refused("invoice-not-issued", "A draft cannot be paid; issue it first.")
    if owed.kind == InvoiceKind.CREDIT_NOTE:
        raise Refused("paid-beyond-due", "Nothing is due on a credit note.")
    if money.amount > owed.due_total and not keep_rest_as_credit:
        left = money_text(owed.due_total, owed.currency, owed.minor_units)
        detail = f"{left} are due on invoice {owed.number}."
        raise Refused("paid-beyond-due", detail, (FieldError("/amount", "beyond-due", detail),))
    share = Share(owed.pk, min(money.amount, owed.due_total))
    shares = [share] if share.amount else []
    return payment_record(client=owed.client, money=money, shares=shares, recorded=recorded)


@transaction.atomic
def payment_reverse(
    *, payment: Payment, reason: str, booked_on: date, recorded: Recorded
) -> Payment:
    """Take back a payment that never came or went back, and what it settled; return the reversal.

    Raises:
        Refused: `already-reversed`, `reversal-stands`, or `payment-refunded`.
    """
    money_lock([payment.client_id])
    if standing(payment.refunds.all()).exists():
        raise Refused("payment-refunded", "Money of this payment was refunded; reverse that first.")
    entries_reversed(standing(payment.allocations.all()), reason, booked_on, recorded)
    return entry_reverse(payment, reason, booked_on, recorded)


@transaction.atomic
def payment_refund(*, payment: Payment, money: Money, reason: str, recorded: Recorded) -> Refund:
    """Record money given back of a payment's credit, and return the refund.

    Raises:
        InvalidInput: `amount-too-fine`, or `day-too-early`, when there was no such credit yet.
        Refused: `beyond-payment`.
    """
    money_lock([payment.client_id])
    amount_check(money.amount, payment.currency, payment.minor_units)
    left = payments().get(pk=payment.pk).credit_total
    if money.amount > left:
        there = money_text(left, payment.currency, payment.minor_units)
        detail = f"Of the payment {there} are left."
        raise Refused("beyond-payment", detail, (FieldError("/amount", "beyond-payment", detail),))
    free_since = payment_free_since(payment)
    if money.booked_on < free_since:
        detail = f"This is credit since {free_since}."
        error = FieldError("/booked_on", "day-too-early", detail)
        raise InvalidInput("invalid-input", detail, (error,))
    return Refund.objects.create(
        payment=payment,
        amount=money.amount,
        method=money.method,
        booked_on=money.booked_on,
        reference=money.reference,
        reason=reason,
        recorded_at=recorded.recorded_at,
        recorded_by=recorded.recorded_by,
    )


@transaction.atomic
def refund_reverse(*, refund: Refund, reason: str, booked_on: date, recorded: Recorded) -> Refund:
    """Take back a refund that never went out; it is credit again. Return the reversal.

    Raises:
        Refused: `already-reversed`, or `reversal-stands`.
    """
    money_lock([refund.payment.client_id])
    return entry_reverse(refund, reason, booked_on, recorded)
