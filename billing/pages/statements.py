"""A client's statement of account as the client gets it."""

from decimal import Decimal
from typing import Any

from django.conf import settings
from django.db.models import QuerySet
from rest_framework.response import Response

from billing.pages.priced import wording_of
from billing.queries.client_statements import ClientStatement, client_statement
from billing.rules.statements import AccountLine, Change
from shop.http.files import PDFRenderer, file_response
from shop.http.permissions import OFFICE, grants
from shop.http.reports import PeriodQuery
from shop.http.verbs import file
from shop.http.views import ShopViewSet
from shop.models import Client, ShopProfile
from shop.pages.papers import Cell, Column, Paper, Row, Section, Total, paper_pdf
from shop.pages.wording import Wording
from shop.rules.money import minor_units

PERIOD = ("opened_on", "closed_on")
# Money, and what is owed no more, lowers what is owed; where it does not, it was taken back.
LOWERING = {"payment": -1, "refund": 1, "write_off": -1}


class ClientStatementDocumentViewSet(ShopViewSet):
    """A client's statement on paper."""

    model = Client
    roles = grants(read=OFFICE)

    def rows(self) -> QuerySet[Client]:
        """Return the clients."""
        return Client.objects.all()

    @file(PDFRenderer, query=PeriodQuery, path="statement/pdf")
    def statement_pdf(self) -> Response:
        """Return the client's account over a period, and what is open at its end."""
        statement = client_statement(self.found(), **self.checked_query())
        name = f"statement-{statement.client.pk}-{statement.closed_on}.pdf"
        return file_response(statement_pdf(statement, ShopProfile.objects.get()), name)


def statement_pdf(statement: ClientStatement, profile: ShopProfile) -> bytes:
    """Return a statement as PDF."""
    words = wording_of(statement.seller, statement.buyer)
    return paper_pdf(_Writer(words).paper(statement), words, profile)


class _Writer:
    """Writes a statement in a language."""

    def __init__(self, words: Wording) -> None:
        self._words = words
        self._texts = words.texts["statement"]
        self._decimals = minor_units(settings.CURRENCY)

    def paper(self, statement: ClientStatement) -> Paper:
        texts = self._texts
        columns = [
            Column(texts["day"]),
            Column(texts["what"], is_wide=True),
            Column(texts["changed"], is_number=True),
            Column(texts["balance"], is_number=True),
        ]
        opening = self._amount(statement.account.opening_balance)
        before = [Cell(""), Cell(texts["opening_balance"]), Cell(""), Cell(opening)]
        return Paper(
            title=texts["title"],
            sender=statement.seller,
            receiver=statement.buyer,
            facts=self._facts(statement),
            columns=columns,
            rows=[Row(before), *map(self._row, statement.account.lines)],
            totals=self._totals(statement),
            sections=self._open_invoices(statement),
            notes=self._account(statement),
            dated=statement.closed_on,
        )

    def _facts(self, statement: ClientStatement) -> list[tuple[str, str]]:
        days = {name: self._words.day(getattr(statement, name)) for name in PERIOD}
        return [(self._texts["period"], self._texts["period_of"].format(**days))]

    def _row(self, line: AccountLine) -> Row:
        change, texts = line.change, self._texts
        due = texts["due_on"].format(day=self._words.day(change.due_on)) if change.due_on else ""
        cells = [
            Cell(self._words.day(change.booked_on)),
            Cell(self._what(change), small=due or change.text),
            Cell(self._amount(change.amount)),
            Cell(self._amount(line.balance)),
        ]
        return Row(cells, carried=self._money(line.balance))

    def _what(self, change: Change) -> str:
        is_back = change.amount * LOWERING.get(change.kind, 0) < 0
        name = f"{change.kind}_back" if is_back else change.kind
        return self._texts[name].format(document=change.document)

    def _totals(self, statement: ClientStatement) -> list[Total]:
        texts, balance = self._texts, statement.account.closing_balance
        totals = []
        if statement.credit_total:
            totals.append(Total(texts["owed_total"], self._amount(statement.owed_total)))
            totals.append(Total(texts["credit_total"], self._amount(-statement.credit_total)))
        name = "to_pay" if balance > 0 else "in_credit" if balance else "settled"
        return [*totals, Total(texts[name], self._money(abs(balance)), is_strong=True)]

    def _open_invoices(self, statement: ClientStatement) -> list[Section]:
        if not statement.open_invoices:
            return []
        texts = self._texts
        columns = [
            Column(texts["number"]),
            Column(texts["due"]),
            Column(texts["days_overdue"], is_number=True),
            Column(texts["reference"], is_wide=True),
            Column(texts["open_total"], is_number=True),
        ]
        rows = [self._open(invoice) for invoice in statement.open_invoices]
        return [Section(texts["open_invoices"], columns=columns, rows=rows)]

    def _open(self, invoice: Any) -> Row:
        overdue = str(invoice.days_overdue) if invoice.days_overdue > 0 else ""
        cells = [
            Cell(invoice.number),
            Cell(self._words.day(invoice.due_on)),
            Cell(overdue),
            Cell(invoice.reference),
            Cell(self._amount(invoice.open_total)),
        ]
        return Row(cells)

    def _account(self, statement: ClientStatement) -> list[str]:
        iban = statement.seller["iban"]
        if not iban or statement.account.closing_balance <= 0:
            return []
        return [self._words.texts["invoice"]["pay_to"].format(iban=iban)]

    def _money(self, value: Decimal) -> str:
        return self._words.money(value, settings.CURRENCY, self._decimals)

    def _amount(self, value: Decimal) -> str:
        return self._words.amount(value, self._decimals)
