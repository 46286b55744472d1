"""What quotes and invoices have in common on paper: lines, and what they come to."""

from collections.abc import Collection
from decimal import Decimal
from itertools import accumulate
from typing import Any

from billing.models import Quote
from billing.models.documents import Document
from shop.models import Language
from shop.pages.papers import Cell, Column, Row, Total
from shop.pages.wording import Wording, wording


def wording_of(seller: dict[str, Any], buyer: dict[str, Any]) -> Wording:
    """Return how documents for a buyer are written."""
    return wording(buyer.get("language", Language.ENGLISH), seller["country"])


class Priced:
    """The table and the totals of a document, with its rows read."""

    def __init__(
        self,
        document: Document,
        words: Wording,
        *,
        lines: Collection[Any],
        taxes: Collection[Any],
        allowances: Collection[Any] = (),
    ) -> None:
        self.document = document
        self.words = words
        self.lines = lines
        self.taxes = taxes
        self.allowances = allowances
        self.texts = words.texts["priced"]
        self.is_taxed = any(tax.tax_percent for tax in self.taxes)

    def money(self, value: Decimal) -> str:
        """Return an amount with the currency."""
        return self.words.money(value, self.document.currency, self.document.minor_units)

    def amount(self, value: Decimal) -> str:
        """Return an amount without the currency."""
        return self.words.amount(value, self.document.minor_units)

    def columns(self) -> list[Column]:
        """Return the columns; that of tax only where there is any."""
        columns = [
            Column(self.texts["position"], is_number=True),
            Column(self.texts["description"], is_wide=True),
            Column(self.texts["quantity"], is_number=True),
            Column(self.texts["unit_price"], is_number=True),
        ]
        if self.is_taxed:
            columns.append(Column(self.texts["tax_percent"], is_number=True))
        return [*columns, Column(self.texts["amount"], is_number=True)]

    def rows(self) -> list[Row]:
        """Return the lines, each with what they come to down to it."""
        sums = accumulate(line.net_amount for line in self.lines)
        return [
            Row(self._cells(line), carried=self.money(so_far))
            for line, so_far in zip(self.lines, sums, strict=True)
        ]

    def small_print(self, line: Any) -> list[str]:
        """Return what stands below the description of a line."""
        if not line.discount_amount:
            return []
        amount, reason = self.amount(line.discount_amount), line.discount_reason
        if line.discount_percent:
            reason = f"{reason}, {self.words.percent(line.discount_percent)}"
        return [self.texts["discount"].format(amount=amount, reason=reason)]

    def _cells(self, line: Any) -> list[Cell]:
        unit = self.words.texts["units"].get(line.unit, line.unit)
        cells = [
            Cell(str(line.position)),
            Cell(line.description, small=", ".join(self.small_print(line))),
            Cell(f"{self.words.number(line.quantity)} {unit}"),
            Cell(self.words.price(line.unit_price, self.document.minor_units)),
        ]
        if self.is_taxed:
            cells.append(Cell(self.words.percent(line.tax_percent)))
        return [*cells, Cell(self.amount(line.net_amount))]

    def totals(self, payable: str) -> list[Total]:
        """Return the totals in the order of EN 16931; the last is called `payable`."""
        document, totals = self.document, []
        if self.allowances:
            totals.append(Total(self.texts["line_total"], self.amount(document.line_total)))
            totals += [self._allowance(row) for row in self.allowances]
        if document.tax_total:
            totals.append(Total(self.texts["net_total"], self.amount(document.net_total)))
        if self.is_taxed:
            totals += [self._tax(row) for row in self.taxes]
        if document.rounding_amount:
            totals.append(Total(self.texts["rounding"], self.amount(document.rounding_amount)))
        return [*totals, Total(payable, self.money(document.payable_total), is_strong=True)]

    def exemptions(self) -> list[str]:
        """Return why tax is not charged, where it is not."""
        reasons = [tax.exemption_reason for tax in self.taxes if tax.exemption_reason]
        return [self.words.said(reason) for reason in reasons]

    def _allowance(self, row: Any) -> Total:
        name = row.reason
        if row.percent is not None:
            percent, base = self.words.percent(row.percent), self.amount(row.base_amount)
            name = self.texts["percent_of"].format(reason=name, percent=percent, base=base)
        return Total(name, self.amount(row.amount if row.is_charge else -row.amount))

    def _tax(self, row: Any) -> Total:
        name = self.texts["tax" if row.tax_percent else "untaxed"]
        percent, amount = self.words.percent(row.tax_percent), self.amount(row.taxable_amount)
        return Total(name.format(percent=percent, amount=amount), self.amount(row.tax_amount))


class Quoted(Priced):
    """The table of what is offered; what is short in the bag is the shop's own matter."""

    def small_print(self, line: Any) -> list[str]:
        """Return on how many notes the work of a line is done, and its discount."""
        notes = self.words.texts["quote"]["notes"].format(count=line.note_count)
        return [*([notes] if line.note_count else []), *super().small_print(line)]


def quote_priced(quote: Quote, words: Wording) -> Quoted:
    """Return what a quote comes to: its firm part, or what the client agreed to."""
    document = quote.agreement if hasattr(quote, "agreement") else quote
    lines = [line for line in quote.lines.all() if line.option is None or line.option.agreement_id]
    return Quoted(
        document,
        words,
        lines=lines,
        taxes=document.taxes.all(),
        allowances=quote.allowances.all(),
    )
