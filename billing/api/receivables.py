"""Aged receivables: what was owed on any day, by how long it had been."""

from typing import Any

from django.conf import settings
from rest_framework import serializers
from rest_framework.response import Response

from billing.queries.receivables import aged_receivables
from shop.http.amounts import AmountField
from shop.http.reports import DayQuery, OfficeReport


class OwedInvoiceOutput(serializers.Serializer[Any]):
    """An invoice on which something was due."""

    client = serializers.IntegerField(source="invoice.client_id")
    client_name = serializers.CharField(source="invoice.client.name")
    invoice = serializers.IntegerField(source="invoice.pk")
    number = serializers.CharField(source="invoice.number")
    issued_on = serializers.DateField(source="invoice.issued_on")
    due_on = serializers.DateField(source="invoice.due_on")
    days_overdue = serializers.IntegerField()
    bucket = serializers.CharField()
    open_total = AmountField(source="invoice.open_total")


class AgedTotalsOutput(serializers.Serializer[Any]):
    """Amounts by bucket, in the order of `buckets`, and in all; credit is not taken off."""

    amounts = serializers.ListField(child=AmountField())
    owed_total = AmountField()
    credit_total = AmountField()


class ClientOwingOutput(AgedTotalsOutput):
    """The same of a client."""

    client = serializers.IntegerField(source="client.pk")
    name = serializers.CharField(source="client.name")


class AgedReceivablesOutput(AgedTotalsOutput):
    """What was owed at the end of a day, by invoice and by client.

    `buckets` are days overdue; their ends are the shop profile's `aged_days`.
    """

    on = serializers.DateField()
    currency = serializers.CharField(default=settings.CURRENCY)
    buckets = serializers.ListField(child=serializers.CharField())
    items = OwedInvoiceOutput(many=True)
    clients = ClientOwingOutput(many=True)


class AgedReceivablesViewSet(OfficeReport):
    """What was owed at the end of any day, sorted by how many days it had been overdue."""

    query = DayQuery
    output = AgedReceivablesOutput

    def aged_receivables(self) -> Response:
        """Return what was owed, as JSON, or as a sheet of the invoices."""
        return self.shown(aged_receivables(**self.checked_query()))
