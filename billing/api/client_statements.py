"""Statements: what a client was billed and paid over a period, and what is left."""

from typing import Any

from django.conf import settings
from django.db.models import QuerySet
from rest_framework import serializers
from rest_framework.response import Response

from billing.models import PaymentMethod
from billing.queries.client_statements import client_statement
from shop.http.amounts import AmountField
from shop.http.permissions import OFFICE, grants
from shop.http.reports import OfficeReport, PeriodQuery
from shop.http.verbs import report
from shop.models import Client

KINDS = [
    *("invoice", "deposit", "part", "final", "credit_note"),
    *("payment", "refund", "write_off"),
]


class StatementLineOutput(serializers.Serializer[Any]):
    """A document or money: what it changed, and what was owed after it.

    An amount above nothing is owed, one below was paid, credited or written off; the amount of a
    reversal has the other sign. Less than nothing owed is the client's credit.
    """

    booked_on = serializers.DateField(source="change.booked_on")
    kind = serializers.ChoiceField([(kind, kind) for kind in KINDS], source="change.kind")
    document = serializers.CharField(source="change.document")
    text = serializers.CharField(source="change.text")
    method = serializers.ChoiceField(
        PaymentMethod.choices, source="change.method", allow_blank=True
    )
    due_on = serializers.DateField(source="change.due_on", allow_null=True)
    amount = AmountField(source="change.amount")
    balance = AmountField()


class OpenInvoiceOutput(serializers.Serializer[Any]):
    """An invoice on which something was due at the end of the period."""

    invoice = serializers.IntegerField(source="pk")
    number = serializers.CharField()
    reference = serializers.CharField()
    issued_on = serializers.DateField()
    due_on = serializers.DateField()
    days_overdue = serializers.IntegerField()
    payable_total = AmountField()
    open_total = AmountField()


class ClientStatementOutput(serializers.Serializer[Any]):
    """A client's account; `owed_total` less `credit_total` is the closing balance."""

    client = serializers.IntegerField(source="client.pk")
    opened_on = serializers.DateField()
    closed_on = serializers.DateField()
    currency = serializers.CharField(default=settings.CURRENCY)
    language = serializers.CharField(source="buyer.language")
    seller = serializers.DictField()
    buyer = serializers.DictField()
    opening_balance = AmountField(source="account.opening_balance")
    items = StatementLineOutput(many=True, source="account.lines")
    closing_balance = AmountField(source="account.closing_balance")
    owed_total = AmountField()
    credit_total = AmountField()
    open_invoices = OpenInvoiceOutput(many=True)


class ClientStatementViewSet(OfficeReport):
    """What a client was billed and paid."""

    model = Client
    roles = grants(read=OFFICE)

    def rows(self) -> QuerySet[Client]:
        """Return the clients."""
        return Client.objects.all()

    @report(gives=ClientStatementOutput, gives_csv=True, query=PeriodQuery, of_one=True)
    def statement(self) -> Response:
        """Return the client's account over a period, as JSON, or as a sheet of its lines."""
        return self.shown(client_statement(self.found(), **self.checked_query()))
