"""Bank statements: kept once, matched with what is due, and recorded as payments when accepted."""

import hashlib
from typing import Any

import django_filters
from django.db.models import QuerySet
from django.utils import timezone
from rest_framework import serializers
from rest_framework.response import Response

from billing.actions.bank_statements import certain_accept, statements_keep
from billing.actions.book_entries import Recorded
from billing.api.camt_files import CamtParser
from billing.api.statement_entries import ProposalOutput, StatementEntryOutput
from billing.models import BankStatement, StatementFormat
from billing.queries.bank_statements import bank_statements, proposals_of, statement_entries
from billing.rules.bank_statements import (
    BankEntry,
    Statement,
    StatementError,
    refuse_to_come,
    refuse_unless_whole,
)
from shop.errors import ParameterError
from shop.http.amounts import AmountField
from shop.http.csv_parsers import StrictCSVParser
from shop.http.filters import Order, invalid_query
from shop.http.parsers import StrictJSONParser
from shop.http.permissions import OFFICE, grants
from shop.http.problems import RequestProblem
from shop.http.records import Listed, Retrieved
from shop.http.serializers import RowSerializer, StrictSerializer, TextField
from shop.http.verbs import report, verb
from shop.http.views import ShopViewSet, Values

BODY_LIMIT_BYTES = 8 * 1024 * 1024
MOST_ENTRIES = 5000


def money(**options: Any) -> serializers.DecimalField:
    """Return the field of an amount or balance of an account, which may be less than nothing."""
    return serializers.DecimalField(max_digits=14, decimal_places=3, **options)


class BankEntryInput(StrictSerializer):
    """What came in (more than nothing) or went out (less) on a day, and what was said with it.

    `entry_reference` is the bank's own reference, which occurs once in an account; `reference` the
    structured one (ISO 11649) that the payer quoted.
    """

    booked_on = serializers.DateField()
    amount = money()
    entry_reference = TextField(max_length=140, default="", allow_blank=True)
    payer_name = TextField(max_length=140, default="", allow_blank=True)
    payer_account = TextField(max_length=34, default="", allow_blank=True)
    reference = TextField(max_length=140, default="", allow_blank=True)
    text = TextField(max_length=2000, default="", allow_blank=True)


class BankStatementInput(StrictSerializer):
    """The entries of an account between two balances; a camt.053 file says the same in XML."""

    identifier = TextField(max_length=100)
    account = TextField(max_length=34)
    currency = serializers.RegexField("^[A-Z]{3}$")
    opening_balance = money()
    closing_balance = money()
    entries = serializers.ListField(child=BankEntryInput(), max_length=MOST_ENTRIES)


class SheetQuery(StrictSerializer):
    """What a sheet of entries leaves open, and is needed with it."""

    identifier = TextField(max_length=100, required=False)
    account = TextField(max_length=34, required=False)
    currency = serializers.RegexField("^[A-Z]{3}$", required=False)
    opening_balance = money(required=False)
    closing_balance = money(required=False)


class EntrySheetParser(StrictCSVParser):
    """Reads a sheet of a statement's entries."""

    rows_of = BankEntryInput


class BankStatementOutput(RowSerializer):
    """A statement that is kept."""

    opening_balance = AmountField()
    closing_balance = AmountField()
    entry_count = serializers.IntegerField()

    class Meta:
        model = BankStatement
        fields = (
            *("id", "identifier", "account", "currency", "opening_balance", "closing_balance"),
            *("format", "entry_count", "imported_at"),
        )


class StatementsKeptOutput(serializers.Serializer[Any]):
    """How many entries were new, known before, and recorded as paid at once."""

    statements = BankStatementOutput(many=True)
    stored_count = serializers.IntegerField()
    known_count = serializers.IntegerField()
    recorded_count = serializers.IntegerField()


class MatchedEntryOutput(serializers.Serializer[Any]):
    """An open entry, and what it may be for, the likeliest first."""

    entry = StatementEntryOutput()
    proposals = ProposalOutput(many=True)


class MatchedEntriesOutput(serializers.Serializer[Any]):
    """The open entries of a statement."""

    entries = MatchedEntryOutput(many=True)


class AcceptedOutput(serializers.Serializer[Any]):
    """How many entries were recorded as paid."""

    recorded_count = serializers.IntegerField()


class BankStatementFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By account and name."""

    account = django_filters.CharFilter(max_length=34)
    identifier = django_filters.CharFilter(max_length=100)
    order = Order(fields=["imported_at", "id"])

    class Meta:
        model = BankStatement
        fields = ()


class BankStatementViewSet(Listed, Retrieved, ShopViewSet):
    """Statements of the shop's bank accounts, the last kept first."""

    model = BankStatement
    roles = grants(read=OFFICE, write=OFFICE)
    filterset_class = BankStatementFilter
    output = BankStatementOutput

    def rows(self) -> QuerySet[Any]:
        """Return the statements, which the office and the owner see."""
        return bank_statements()

    @verb(
        takes=BankStatementInput,
        gives=StatementsKeptOutput,
        gives_status=201,
        of_one=False,
        query=SheetQuery,
        parser_classes=[StrictJSONParser, EntrySheetParser, CamtParser],
        body_limit_bytes=BODY_LIMIT_BYTES,
        path="import",
    )
    def take_in(self) -> Response:
        """Keep a statement: camt.053 of ISO 20022 in XML, a sheet of its entries in CSV, or JSON.

        A statement is kept once, and whole: entries that do not lead from one balance to the other,
        or are of a day still to come, refuse the file. A sheet needs identifier, account, currency
        and both balances in the query. Nothing is recorded as paid by this, unless the shop's
        profile says so for what is certain.
        """
        form, statements = self._sent()
        for statement in statements:
            try:
                refuse_unless_whole(statement)
                refuse_to_come(statement, timezone.localdate())
            except StatementError as error:
                raise RequestProblem("statement-not-whole", str(error)) from error
        kept = statements_keep(
            statements=statements,
            form=form,
            content_sha256=hashlib.sha256(self.request.body).hexdigest(),
            recorded=Recorded(timezone.now(), self.user),
        )
        keys = [row.pk for row in kept.statements]
        kept_rows = bank_statements().filter(pk__in=keys).order_by("pk")
        return self.shown(
            {
                "statements": kept_rows,
                "stored_count": kept.stored_count,
                "known_count": kept.known_count,
                "recorded_count": kept.recorded_count,
            }
        )

    def _sent(self) -> tuple[StatementFormat, list[Statement]]:
        body, asked = self.request.data, self.checked_query()
        if not isinstance(body, list):
            return StatementFormat.JSON, [_statement(self.checked())]
        if body and isinstance(body[0], Statement):
            return StatementFormat.CAMT_053, body
        missing = sorted(set(SheetQuery().get_fields()) - set(asked))
        if missing:
            sentence = "A sheet of entries needs it."
            raise invalid_query(ParameterError(name, "required", sentence) for name in missing)
        rows = BankEntryInput(data=body, many=True)
        rows.is_valid(raise_exception=True)
        return StatementFormat.CSV, [_statement({**asked, "entries": rows.validated_data})]

    @report(gives=MatchedEntriesOutput, of_one=True)
    def proposals(self) -> Response:
        """Return the open entries of the statement with what each may be for."""
        entries = list(statement_entries().filter(statement=self.found(), open_total__gt=0))
        found = proposals_of(entries)
        matched = [{"entry": each, "proposals": found[each.pk]} for each in entries]
        return self.shown({"entries": matched})

    @verb(gives=AcceptedOutput)
    def accept_certain(self) -> Response:
        """Record as payments the open entries of which it is certain what they are for."""
        recorded = Recorded(timezone.now(), self.user)
        payments = certain_accept(statement=self.found(), recorded=recorded)
        return self.shown({"recorded_count": len(payments)})


def _statement(values: Values) -> Statement:
    entries = tuple(BankEntry(**entry) for entry in values["entries"])
    return Statement(**{**values, "entries": entries})
