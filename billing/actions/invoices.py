"""Invoices and credit notes: changed as drafts, thrown away, or issued with the next number."""

from datetime import date, timedelta
from decimal import Decimal

from django.db import transaction

from billing.actions.documents import (
    Columns,
    adjusted_row,
    rows_totals,
    tax_key,
    tax_row,
    totals_set,
)
from billing.models import (
    Invoice,
    InvoiceAllowance,
    InvoiceKind,
    InvoiceStatus,
    InvoiceTax,
    NumberSeries,
)
from billing.queries.parties import buyer_of, seller_of
from billing.rules.allowances import Adjustment, adjusted
from billing.rules.creditor_reference import creditor_reference
from billing.rules.totals import TaxKey
from shop.actions.number_series import number_take
from shop.errors import FieldError, Refused
from shop.models import ShopProfile, StandardTaxCode

# The code of each series of numbers, and what its numbers start with.
INVOICE_SERIES = ("invoice", "")
CREDIT_NOTE_SERIES = ("credit-note", "C")
NEEDS_REASON = (StandardTaxCode.EXEMPT, StandardTaxCode.NOT_SUBJECT)


def invoice_lock(invoice_id: int) -> Invoice:
    """Lock an invoice until the transaction ends and return it as it now is."""
    rows = Invoice.objects.select_for_update(of=("self",)).select_related(
        "client",
        "quote__examination__instrument__site",
        "corrects__quote__examination__instrument__site",
    )
    return rows.get(pk=invoice_id)


@transaction.atomic
def invoice_issue(*, invoice: Invoice, issued_on: date) -> Invoice:
    """Give a draft the next number of its year and freeze it.

    The number is taken last, so that the series is locked as shortly as can be; a failure after it
    gives the number back with the rest of the transaction.

    Raises:
        Refused: `invoice-issued`, or `invoice-incomplete` when the shop is registered for tax and
            something is missing that the standard wants.
    """
    invoice = invoice_lock(invoice.pk)
    if invoice.status != InvoiceStatus.DRAFT:
        raise Refused("invoice-issued", f"Invoice {invoice.number} is issued already.")
    profile = ShopProfile.objects.get()
    is_credit = invoice.kind == InvoiceKind.CREDIT_NOTE
    invoice.issued_on = issued_on
    invoice.due_on = issued_on + timedelta(days=0 if is_credit else profile.payment_days)
    invoice.payment_terms = "" if is_credit else profile.payment_terms
    invoice.seller, invoice.buyer = seller_of(profile), buyer_of(invoice, profile)
    _refuse_incomplete(invoice)
    invoice.status = InvoiceStatus.ISSUED
    code, prefix = CREDIT_NOTE_SERIES if is_credit else INVOICE_SERIES
    invoice.series = number_take(series=NumberSeries, code=code, year=issued_on.year)
    invoice.sequence = invoice.series.last_number
    invoice.number = f"{prefix}{issued_on.year}-{invoice.sequence:05d}"
    invoice.reference = creditor_reference(invoice.number)
    invoice.save()
    return invoice


@transaction.atomic
def invoice_discard(*, invoice: Invoice) -> None:
    """Throw a draft away; its quote can be invoiced again.

    Raises:
        Refused: `invoice-issued`.
    """
    invoice = invoice_lock(invoice.pk)
    if invoice.status != InvoiceStatus.DRAFT:
        raise Refused("invoice-issued", f"Invoice {invoice.number} is issued; it stands.")
    invoice.delete()


def _refuse_incomplete(invoice: Invoice) -> None:
    """Refuse what EN 16931 wants of a seller that is registered for tax, and is not there.

    Source: EN 16931-1, BR-06 to BR-11, BR-E-10, BR-O-11.
    """
    seller, buyer = invoice.seller or {}, invoice.buyer or {}
    if not seller["is_tax_registered"]:
        return
    taxes = {tax.tax_code: tax.exemption_reason for tax in invoice.taxes.all()}
    missing = []
    if not seller["country"]:
        missing.append(("/seller/country", "The shop's profile has no country."))
    if not buyer["country"]:
        missing.append(("/buyer/country", "The client's address has no country."))
    if any(code in NEEDS_REASON and not reason for code, reason in taxes.items()):
        missing.append(("/taxes", "A tax category that is exempt has no reason."))
    if StandardTaxCode.NOT_SUBJECT in taxes and len(taxes) > 1:
        missing.append(("/taxes", "What is not subject to tax needs an invoice of its own."))
    errors = tuple(FieldError(pointer, "missing", detail) for pointer, detail in missing)
    if errors:
        raise Refused("invoice-incomplete", " ".join(error.detail for error in errors), errors)


@transaction.atomic
def invoice_adjust(*, invoice: Invoice, adjustment: Adjustment) -> Invoice:
    """Put an allowance or charge on a draft, shared out over its tax rates, and return it.

    Raises:
        Refused: `invoice-issued`, `credit-note-fixed`, or `allowance-beyond-lines`.
    """
    invoice = invoice_lock(invoice.pk)
    _refuse_fixed(invoice)
    lines: list[Columns] = [dict(row) for row in invoice.lines.values()]
    allowances: list[Columns] = [dict(row) for row in invoice.allowances.values()]
    added = _adjustments(invoice, lines, adjustment)
    if not added:
        detail = "It comes to nothing, since no line of the invoice bears any of it."
        raise Refused("allowance-beyond-lines", detail)
    profile = ShopProfile.objects.get()
    found = rows_totals(lines, [*allowances, *added], invoice.minor_units, profile)
    if any(tax.taxable < 0 for tax in found.taxes):
        detail = "The allowance is more than what bears it."
        error = FieldError("/amount", "allowance-beyond-lines", detail)
        raise Refused("allowance-beyond-lines", detail, (error,))
    InvoiceAllowance.objects.bulk_create(
        InvoiceAllowance(invoice=invoice, position=position, **row)
        for position, row in enumerate(added, start=len(allowances) + 1)
    )
    reasons = {
        TaxKey(tax.tax_code, tax.tax_percent): tax.exemption_reason for tax in invoice.taxes.all()
    }
    invoice.taxes.all().delete()
    InvoiceTax.objects.bulk_create(
        InvoiceTax(invoice=invoice, **tax_row(tax, reasons)) for tax in found.taxes
    )
    totals_set(invoice, found)
    invoice.save()
    return invoice


def _refuse_fixed(invoice: Invoice) -> None:
    if invoice.status != InvoiceStatus.DRAFT:
        raise Refused("invoice-issued", f"Invoice {invoice.number} is issued already.")
    if invoice.kind == InvoiceKind.CREDIT_NOTE:
        raise Refused("credit-note-fixed", "A credit note takes back what the invoice demanded.")


def _adjustments(invoice: Invoice, lines: list[Columns], adjustment: Adjustment) -> list[Columns]:
    bases: dict[TaxKey, Decimal] = {}
    categories: dict[TaxKey, int] = {}
    for line in lines:
        key = tax_key(line)
        bases[key] = bases.get(key, Decimal(0)) + line["net_amount"]
        categories.setdefault(key, line["tax_category_id"])
    bearing = {key: base for key, base in bases.items() if base > 0}
    rows = adjusted(adjustment, bearing, invoice.minor_units) if bearing else []
    return [adjusted_row(adjustment, row, categories[row.key]) for row in rows]
