"""Steps that put quotes and invoices together."""

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from typing import Any

from billing.models import Invoice, InvoiceAllowance, InvoiceLine, InvoiceTax
from billing.models.documents import Document
from billing.rules.allowances import Adjusted, Adjustment
from billing.rules.pricing import PricedLine
from billing.rules.totals import Amount, TaxKey, TaxRounding, TaxTotal, Totals, totals
from shop.actions.bulk import Rows, columns_of, rows_insert
from shop.models import ShopProfile

Columns = dict[str, Any]
NO_REASONS: Mapping[TaxKey, str] = {}


def totals_set(document: Document, found: Totals) -> None:
    """Give a document, which is stored later, the totals that were found for it."""
    document.line_total = found.lines
    document.allowance_total = found.allowances
    document.charge_total = found.charges
    document.net_total = found.net
    document.tax_total = found.tax
    document.gross_total = found.gross
    document.rounding_amount = found.rounding
    document.payable_total = found.payable


def rows_totals(
    lines: Iterable[Columns],
    allowances: Iterable[Columns],
    decimals: int,
    profile: ShopProfile,
    promised: Decimal | None = None,
) -> Totals:
    """Return the totals of a document's rows, rounding tax where the shop does."""
    allowances = list(allowances)
    return totals(
        [Amount(tax_key(line), line["net_amount"]) for line in lines],
        decimals,
        allowances=[_amount(row) for row in allowances if not row["is_charge"]],
        charges=[_amount(row) for row in allowances if row["is_charge"]],
        tax_rounding=TaxRounding(profile.tax_rounding),
        promised=promised,
    )


def tax_key(row: Columns) -> TaxKey:
    """Return the tax that a line, allowance or charge bears."""
    return TaxKey(row["tax_code"], row["tax_percent"])


def _amount(row: Columns) -> Amount:
    return Amount(tax_key(row), row["amount"])


def invoice_store(
    draft: Invoice,
    found: Totals,
    lines: Sequence[Columns],
    allowances: Sequence[Columns] = (),
    exemption_reasons: Mapping[TaxKey, str] = NO_REASONS,
) -> Invoice:
    """Store a draft with its totals, lines, allowances and taxes, by one statement."""
    totals_set(draft, found)
    row = Rows(Invoice, [columns_of(draft)])
    below = {"invoice_id": row}
    (draft.pk,), *_ = rows_insert(
        row,
        Rows(InvoiceLine, numbered(lines), below),
        Rows(InvoiceAllowance, numbered(allowances), below),
        Rows(InvoiceTax, [tax_row(tax, exemption_reasons) for tax in found.taxes], below),
    )
    return draft


def numbered(rows: Iterable[Columns]) -> list[Columns]:
    """Return rows with their positions, from 1 on."""
    return [row | {"position": position} for position, row in enumerate(rows, start=1)]


def tax_row(tax: TaxTotal, exemption_reasons: Mapping[TaxKey, str]) -> Columns:
    """Return the row of one tax in a document's breakdown."""
    return {
        "tax_code": tax.key.code,
        "tax_percent": tax.key.percent,
        "exemption_reason": exemption_reasons.get(tax.key, ""),
        "taxable_amount": tax.taxable,
        "tax_amount": tax.tax,
    }


def adjusted_row(adjustment: Adjustment, found: Adjusted, tax_category_id: int) -> Columns:
    """Return the row of an allowance or charge at one tax rate, but for its position."""
    return {
        "is_charge": adjustment.is_charge,
        "reason": adjustment.reason,
        "percent": adjustment.percent,
        "base_amount": found.base,
        "amount": found.amount,
        "tax_category_id": tax_category_id,
        "tax_code": found.key.code,
        "tax_percent": found.key.percent,
    }


def line_row(line: PricedLine) -> Columns:
    """Return the row of a line, but for its position."""
    return {
        "kind": line.kind,
        "description": line.description,
        "quantity": line.quantity,
        "unit": line.unit,
        "unit_price": line.price.amount,
        "discount_amount": line.discount,
        "discount_percent": line.off.percent,
        "discount_reason": line.off.reason,
        "net_amount": line.net,
        "tax_category_id": line.price.tax_category_id,
        "tax_code": line.price.tax.code,
        "tax_percent": line.price.tax.percent,
        "remedy_id": line.remedy_id,
        "part_id": line.part_id,
        "note_count": line.note_count,
        "minutes_low": line.minutes.low,
        "minutes_likely": line.minutes.likely,
        "minutes_high": line.minutes.high,
    }


def columns(row: Any, names: Iterable[str]) -> Columns:
    """Return the named attributes of a row."""
    return {name: getattr(row, name) for name in names}
