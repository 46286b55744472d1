"""Rows of invoices: from the lines of a quote and its extra work, of deposits, and less those."""

from decimal import Decimal
from typing import Any

from billing.actions.documents import Columns, columns
from billing.models import InvoiceLine, LineKind, Quote
from billing.queries.changes import agreed_change_lines
from billing.queries.invoiced import invoiced_change_lines
from billing.queries.quotes import agreed, agreed_lines
from shop.rules.money import rounded
from shop.rules.sharing import shared
from shop.rules.words import Words, said

TAX_COLUMNS = ["tax_category_id", "tax_code", "tax_percent"]
LINE_COLUMNS = [
    *("kind", "description", "quantity", "unit", "unit_price", "net_amount"),
    *("discount_amount", "discount_percent", "discount_reason"),
    *TAX_COLUMNS,
]
ALLOWANCE_COLUMNS = [
    *("is_charge", "reason", "percent", "base_amount", "amount"),
    *TAX_COLUMNS,
]
UNDISCOUNTED: Columns = {
    "discount_amount": Decimal(0),
    "discount_percent": None,
    "discount_reason": "",
}
STANDS_ALONE: Columns = {
    "quote_line_id": None,
    "change_line_id": None,
    "credits_id": None,
    "deducts_id": None,
}


def deposit_rows(quote: Quote, amount: Decimal, words: Words) -> list[Columns]:
    """Return a deposit of `amount`, tax included, shared out over the quote's tax rates."""
    taxes = list(agreed(quote).taxes.order_by("tax_code", "tax_percent"))
    categories = {(line.tax_code, line.tax_percent): line for line in agreed_lines(quote)}
    weights = [tax.taxable_amount + tax.tax_amount for tax in taxes]
    shares = shared(amount, weights, quote.minor_units)
    return [
        columns(categories[tax.tax_code, tax.tax_percent], TAX_COLUMNS)
        | _deposit(quote, rounded(share / (1 + tax.tax_percent / 100), quote.minor_units), words)
        for tax, share in zip(taxes, shares, strict=True)
        if share
    ]


def _deposit(quote: Quote, net: Decimal, words: Words) -> Columns:
    return {
        "kind": LineKind.DEPOSIT,
        "description": said(words, "Deposit on quote {number}", number=quote.pk),
        "quantity": Decimal(1),
        "unit": "piece",
        "unit_price": net,
        **UNDISCOUNTED,
        "net_amount": net,
        **STANDS_ALONE,
    }


def quote_row(line: Any) -> Columns:
    """Return what a line of a quote is on an invoice."""
    return columns(line, LINE_COLUMNS) | STANDS_ALONE | {"quote_line_id": line.pk}


def change_rows(quote: Quote) -> list[Columns]:
    """Return the lines of extra work that was agreed and no invoice demanded yet."""
    invoiced = invoiced_change_lines(quote)
    return [
        columns(line, LINE_COLUMNS) | STANDS_ALONE | {"change_line_id": line.pk}
        for line in agreed_change_lines(quote)
        if line.pk not in invoiced
    ]


def less_deposit_row(line: InvoiceLine, left: Decimal, words: Words) -> Columns:
    """Return what takes off what is left of a deposit's line, before tax."""
    description = said(words, "Less deposit invoice {number}", number=line.invoice.number)
    return columns(line, LINE_COLUMNS) | {
        **STANDS_ALONE,
        "description": description,
        "quantity": Decimal(-1),
        "unit_price": left,
        "net_amount": -left,
        "deducts_id": line.pk,
    }
