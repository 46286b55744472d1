"""Invoices: drafted from a completed quote, issued with the next number, paid."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any

from django.db import transaction

from billing.actions.quotes import quote_lock
from billing.models import (
    Invoice,
    InvoiceLine,
    InvoiceStatus,
    InvoiceTax,
    NumberSeries,
    Payment,
    Quote,
    QuoteStatus,
)
from billing.queries.invoices import invoice_due
from shop.errors import FieldError, InvalidInput, Refused
from shop.models import Client, ShopProfile, User
from shop.rules.money import rounded

INVOICE_SERIES = "invoice"
LINE_COLUMNS = [
    "position",
    "kind",
    "description",
    "quantity",
    "unit",
    "unit_price",
    "discount_amount",
    "net_amount",
    "tax_category_id",
    "tax_code",
    "tax_percent",
]
TAX_COLUMNS = ["tax_code", "tax_percent", "exemption_reason", "taxable_amount", "tax_amount"]


@transaction.atomic
def invoice_draft(*, quote: Quote, drafted_at: datetime, drafted_by: User) -> Invoice:
    """Return a draft invoice with the lines that a completed quote promised.

    Raises:
        Refused: `quote-not-completed`, or `already-invoiced`.
    """
    quote = quote_lock(quote.pk)
    if quote.status != QuoteStatus.COMPLETED:
        raise Refused("quote-not-completed", f"Quote {quote.pk} is {quote.status}; complete it.")
    if Invoice.objects.filter(quote=quote).exists():
        raise Refused("already-invoiced", f"Quote {quote.pk} has an invoice already.")
    invoice = Invoice.objects.create(
        quote=quote,
        client_id=quote.client_id,
        drafted_at=drafted_at,
        drafted_by=drafted_by,
        currency=quote.currency,
        minor_units=quote.minor_units,
        net_total=quote.net_total,
        tax_total=quote.tax_total,
        gross_total=quote.gross_total,
    )
    InvoiceLine.objects.bulk_create(
        InvoiceLine(invoice=invoice, **_columns(line, LINE_COLUMNS)) for line in quote.lines.all()
    )
    InvoiceTax.objects.bulk_create(
        InvoiceTax(invoice=invoice, **_columns(tax, TAX_COLUMNS)) for tax in quote.taxes.all()
    )
    return invoice


def _columns(row: Any, names: list[str]) -> dict[str, Any]:
    return {name: getattr(row, name) for name in names}


def _invoice_lock(invoice_id: int) -> Invoice:
    rows = Invoice.objects.select_for_update(of=("self",)).select_related("client")
    return rows.get(pk=invoice_id)


@transaction.atomic
def invoice_issue(*, invoice: Invoice, issued_on: date) -> Invoice:
    """Give a draft the next number of its year and freeze it.

    The number is taken last, so that the series is locked as shortly as can be; a failure after it
    gives the number back with the rest of the transaction.

    Raises:
        Refused: `invoice-issued`.
    """
    invoice = _invoice_lock(invoice.pk)
    if invoice.status != InvoiceStatus.DRAFT:
        raise Refused("invoice-issued", f"Invoice {invoice.number} is issued already.")
    profile = ShopProfile.objects.get()
    invoice.issued_on = issued_on
    invoice.due_on = issued_on + timedelta(days=profile.payment_days)
    invoice.seller, invoice.buyer = _seller(profile), _buyer(invoice.client)
    invoice.status = InvoiceStatus.ISSUED
    invoice.series = _next_in_series(issued_on.year)
    invoice.sequence = invoice.series.last_number
    invoice.number = f"{issued_on.year}-{invoice.sequence:05d}"
    invoice.save()
    return invoice


@transaction.atomic
def invoice_discard(*, invoice: Invoice) -> None:
    """Throw a draft away; its quote can be invoiced again.

    Raises:
        Refused: `invoice-issued`.
    """
    invoice = _invoice_lock(invoice.pk)
    if invoice.status != InvoiceStatus.DRAFT:
        raise Refused("invoice-issued", f"Invoice {invoice.number} is issued; it stands.")
    invoice.delete()


def _next_in_series(year: int) -> NumberSeries:
    """Take the next number of a year's invoices; the row stays locked until the commit."""
    NumberSeries.objects.bulk_create(
        [NumberSeries(code=INVOICE_SERIES, year=year)], ignore_conflicts=True
    )
    series = NumberSeries.objects.select_for_update().get(code=INVOICE_SERIES, year=year)
    series.last_number += 1
    series.save(update_fields=["last_number"])
    return series


def _seller(profile: ShopProfile) -> dict[str, Any]:
    address = ["name", "street", "city", "postcode", "country", "email", "phone"]
    return _columns(profile, [*address, "is_tax_registered", "tax_number"])


def _buyer(client: Client) -> dict[str, Any]:
    return _columns(client, ["name", "contact_name", "email", "phone", "tax_number"])


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
    invoice = _invoice_lock(invoice.pk)
    if invoice.status != InvoiceStatus.ISSUED:
        raise Refused("invoice-not-issued", "A draft cannot be paid; issue it first.")
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
