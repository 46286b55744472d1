"""Entries of bank statements: what they may be for, and whose payment they become."""

from typing import Any

import django_filters
from django.db.models import QuerySet
from django.utils import timezone
from rest_framework import serializers
from rest_framework.response import Response

from billing.actions.bank_statements import entry_accept, entry_dismiss, entry_reopen
from billing.actions.book_entries import Recorded
from billing.api.book_entries import ReasonInput, SharesField
from billing.models import StatementEntry
from billing.queries.bank_statements import proposals_of, statement_entries
from shop.http.amounts import AmountField
from shop.http.filters import IdFilter, Order, TrueFalseFilter
from shop.http.permissions import OFFICE, grants
from shop.http.records import Listed, Retrieved
from shop.http.serializers import RowField, RowSerializer, StrictSerializer
from shop.http.verbs import report, verb
from shop.http.views import ShopViewSet, Values
from shop.models import Client


class AcceptInput(StrictSerializer):
    """Whose payment it is, and for what; without a client, the proposal that is certain.

    What no allocation names is kept as the client's credit.
    """

    client = RowField(queryset=Client.objects.all(), required=False)
    allocations = SharesField(required=False)

    def validate(self, values: Values) -> Values:
        """Return the values.

        Raises:
            ValidationError: allocations are named, and not whose payment it is.
        """
        if "allocations" in values and "client" not in values:
            sentence = "Say whose payment it is, too."
            raise serializers.ValidationError(
                {"client": serializers.ErrorDetail(sentence, "required")}
            )
        return values


class ShareOutput(serializers.Serializer[Any]):
    """What of the money would settle an invoice."""

    invoice = serializers.IntegerField(source="row_id")
    amount = AmountField()


class ProposalOutput(serializers.Serializer[Any]):
    """What an entry may be for: how likely of 100, why, and whether it is certain."""

    client = serializers.IntegerField(source="client_id")
    allocations = ShareOutput(source="shares", many=True)
    score = serializers.IntegerField()
    reasons = serializers.ListField(child=serializers.CharField())
    is_certain = serializers.BooleanField()


class StatementEntryOutput(RowSerializer):
    """An entry of a statement; `open_total` came in and is neither recorded nor dismissed."""

    amount = AmountField()
    recorded_total = AmountField()
    open_total = AmountField()

    class Meta:
        model = StatementEntry
        fields = (
            *("id", "statement", "account", "entry_reference", "booked_on", "amount"),
            *("payer_name", "payer_account", "reference", "text", "dismissal_reason"),
            *("recorded_total", "open_total"),
        )


class ProposalsOutput(serializers.Serializer[Any]):
    """What an entry may be for, the likeliest first."""

    proposals = ProposalOutput(many=True)


class StatementEntryFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By statement, account, day, reference, and whether something is to be recorded yet."""

    statement = IdFilter()
    account = django_filters.CharFilter(max_length=34)
    reference = django_filters.CharFilter(max_length=140)
    booked_on = django_filters.DateFromToRangeFilter()
    is_open = TrueFalseFilter(method="by_open", label="Something is to be recorded or dismissed.")
    order = Order(fields=["booked_on", "id"])

    class Meta:
        model = StatementEntry
        fields = ()

    def by_open(self, rows: QuerySet[Any], _: str, is_open: bool) -> QuerySet[Any]:  # noqa: FBT001
        """Return the entries of which something, or nothing, is open."""
        return rows.filter(open_total__gt=0) if is_open else rows.filter(open_total=0)


class StatementEntryViewSet(Listed, Retrieved, ShopViewSet):
    """Entries of bank statements, the latest first."""

    model = StatementEntry
    roles = grants(read=OFFICE, write=OFFICE)
    filterset_class = StatementEntryFilter
    output = StatementEntryOutput

    def rows(self) -> QuerySet[Any]:
        """Return the entries, which the office and the owner see."""
        return statement_entries()

    @report(gives=ProposalsOutput, of_one=True)
    def proposals(self) -> Response:
        """Return what the entry may be for."""
        entry = self.found()
        return self.shown({"proposals": proposals_of([entry]).get(entry.pk, [])})

    @verb(takes=AcceptInput, gives_status=201)
    def accept(self) -> Response:
        """Record what is open of the entry as a client's payment, and return the entry."""
        entry, values = self.found(), self.checked()
        entry_accept(
            entry=entry,
            client=values.get("client"),
            shares=values.get("allocations"),
            recorded=Recorded(timezone.now(), self.user),
        )
        return self.shown(self.found())

    @verb(takes=ReasonInput)
    def dismiss(self) -> Response:
        """Say that no client paid this, and why."""
        entry_dismiss(entry=self.found(), reason=self.checked()["reason"])
        return self.shown(self.found())

    @verb()
    def reopen(self) -> Response:
        """Take up an entry again that was dismissed."""
        entry_reopen(entry=self.found())
        return self.shown(self.found())
