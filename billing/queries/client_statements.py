"""What a client was billed, and paid, over a period."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from django.conf import settings

from billing.models import Invoice, InvoiceKind, InvoiceStatus, Payment, Refund, WriteOff
from billing.queries.parties import client_of, seller_of
from billing.queries.payments import NOTHING
from billing.queries.receivables import invoices_owed
from billing.rules.ageing import days_overdue
from billing.rules.statements import Account, Change, account
from shop.models import Client, ShopProfile


@dataclass(frozen=True)
class ClientStatement:
    """The account of a client from one day to another, and what was owed and held at its end.

    What is owed less what is held as credit is the closing balance.
    """

    client: Client
    opened_on: date
    closed_on: date
    seller: dict[str, Any]
    buyer: dict[str, Any]
    account: Account
    open_invoices: list[Any]
    owed_total: Decimal
    credit_total: Decimal


def client_statement(client: Client, *, opened_on: date, closed_on: date) -> ClientStatement:
    """Return the statement of a client, in seven statements for any number of documents.

    A client without an address gets it at their first site.
    """
    profile = ShopProfile.objects.get()
    changes = sorted(_changes(client, closed_on), key=lambda change: change.booked_on)
    found = account(changes, opened_on)
    owed = list(invoices_owed(closed_on).filter(client=client))
    for invoice in owed:
        invoice.days_overdue = days_overdue(invoice.due_on, closed_on)
    owed_total = sum((invoice.open_total for invoice in owed), NOTHING)
    return ClientStatement(
        client=client,
        opened_on=opened_on,
        closed_on=closed_on,
        seller=seller_of(profile),
        buyer=client_of(client, profile, client.sites.order_by("pk").first()),
        account=found,
        open_invoices=owed,
        owed_total=owed_total,
        credit_total=owed_total - found.closing_balance,
    )


def _changes(client: Client, until: date) -> Iterator[Change]:
    """Yield what changed a client's account; allocations only say what settled what."""
    issued = Invoice.objects.filter(
        client=client,
        status=InvoiceStatus.ISSUED,
        issued_on__lte=until,
        currency=settings.CURRENCY,
    )
    for row in issued.select_related("corrects").order_by("issued_on", "id"):
        yield _demand(row)
    booked = {"booked_on__lte": until}
    paid = Payment.objects.filter(client=client, currency=settings.CURRENCY, **booked)
    for payment in paid.order_by("booked_on", "id"):
        document = f"payment {payment.reverses_id or payment.pk}"
        text, method = payment.reason or payment.reference, payment.method
        yield Change(payment.booked_on, "payment", document, -payment.amount, text, method)
    back = Refund.objects.filter(
        payment__client=client, payment__currency=settings.CURRENCY, **booked
    )
    for refund in back.order_by("booked_on", "id"):
        document = f"payment {refund.payment_id}"
        text, method = refund.reason, refund.method
        yield Change(refund.booked_on, "refund", document, refund.amount, text, method)
    given_up = WriteOff.objects.filter(
        invoice__client=client, invoice__currency=settings.CURRENCY, **booked
    )
    for loss in given_up.select_related("invoice").order_by("booked_on", "id"):
        yield Change(loss.booked_on, "write_off", loss.invoice.number, -loss.amount, loss.reason)


def _demand(invoice: Any) -> Change:
    is_credit = invoice.kind == InvoiceKind.CREDIT_NOTE
    return Change(
        booked_on=invoice.issued_on,
        kind=invoice.kind,
        document=invoice.number,
        amount=-invoice.payable_total if is_credit else invoice.payable_total,
        text=f"{invoice.corrects.number}: {invoice.reason}" if is_credit else "",
        due_on=None if is_credit else invoice.due_on,
    )
