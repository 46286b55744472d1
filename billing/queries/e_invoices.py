"""Issued documents as EN 16931 wants them."""

import re
from typing import Any

from billing.models import Invoice, InvoiceKind, InvoiceStatus
from billing.rules.cii import Adjustment, Document, Line, Party, Tax, TaxSum
from shop.errors import Refused

# Source: UNTDID 1001 as EN 16931 uses it, BT-3.
TYPE_CODES = {
    InvoiceKind.INVOICE: "380",
    InvoiceKind.DEPOSIT: "386",
    InvoiceKind.PART: "326",
    InvoiceKind.FINAL: "380",
    InvoiceKind.CREDIT_NOTE: "381",
}
TOTALS = {
    "BT-106": "line_total",
    "BT-107": "allowance_total",
    "BT-108": "charge_total",
    "BT-109": "net_total",
    "BT-110": "tax_total",
    "BT-112": "gross_total",
    "BT-114": "rounding_amount",
    "BT-115": "payable_total",
}
STANDARD_DECIMALS = 2


def e_invoice(invoice: Invoice) -> Document:
    """Return an issued document, with its rows read, as the standard wants it.

    Raises:
        Refused: `no-electronic-invoice` for drafts, shops not registered for tax, and currencies
            that do not have two decimals.
    """
    seller, buyer = invoice.seller or {}, invoice.buyer or {}
    if invoice.status != InvoiceStatus.ISSUED or not invoice.issued_on or not invoice.due_on:
        raise Refused("no-electronic-invoice", "The invoice is a draft; issue it first.")
    if not seller.get("is_tax_registered"):
        detail = "The shop was not registered for tax when it issued this."
        raise Refused("no-electronic-invoice", detail)
    if invoice.minor_units != STANDARD_DECIMALS:
        detail = f"EN 16931 has amounts of two decimals; {invoice.currency} has others."
        raise Refused("no-electronic-invoice", detail)
    taxes = tuple(_tax_sum(row) for row in invoice.taxes.all())
    is_subject = any(tax.tax.code != "O" for tax in taxes)
    corrected = invoice.corrects
    return Document(
        number=invoice.number,
        type_code=TYPE_CODES[InvoiceKind(invoice.kind)],
        issued_on=invoice.issued_on,
        due_on=invoice.due_on,
        currency=invoice.currency,
        seller=_party(seller, is_subject=is_subject),
        buyer=_party(buyer, is_subject=is_subject),
        lines=tuple(_line(row) for row in invoice.lines.all()),
        adjustments=tuple(_adjustment(row) for row in invoice.allowances.all()),
        taxes=taxes,
        totals={term: getattr(invoice, name) for term, name in TOTALS.items()},
        reference=invoice.reference,
        iban=seller.get("iban", ""),
        terms=invoice.payment_terms,
        note=invoice.reason,
        corrects=(corrected.number, corrected.issued_on)
        if corrected and corrected.issued_on
        else None,
    )


def _party(party: dict[str, Any], *, is_subject: bool) -> Party:
    """Return a party; where nothing is subject to tax it has no VAT number (BR-O-02)."""
    number = party.get("tax_number", "").replace(" ", "")
    is_vat = bool(re.match("[A-Z]{2}", number))
    is_seller = "is_tax_registered" in party
    return Party(
        name=party["name"],
        country=party["country"],
        street=party["street"],
        city=party["city"],
        postcode=party["postcode"],
        email=party["email"],
        vat_number=number if is_vat and is_subject else "",
        tax_number=number if is_seller and not (is_vat and is_subject) else "",
    )


def _tax(row: Any) -> Tax:
    return Tax(row.tax_code, row.tax_percent)


def _tax_sum(row: Any) -> TaxSum:
    return TaxSum(_tax(row), row.taxable_amount, row.tax_amount, row.exemption_reason)


def _line(row: Any) -> Line:
    return Line(
        position=row.position,
        description=row.description,
        quantity=row.quantity,
        unit=row.unit,
        unit_price=row.unit_price,
        net=row.net_amount,
        tax=_tax(row),
        discount=_discount(row) if row.discount_amount else None,
    )


def _discount(row: Any) -> Adjustment:
    return Adjustment(
        is_charge=False,
        reason=row.discount_reason,
        amount=row.discount_amount,
        tax=_tax(row),
        percent=row.discount_percent,
        base=row.net_amount + row.discount_amount,
    )


def _adjustment(row: Any) -> Adjustment:
    return Adjustment(
        is_charge=row.is_charge,
        reason=row.reason,
        amount=row.amount,
        tax=_tax(row),
        percent=row.percent,
        base=row.base_amount,
    )
