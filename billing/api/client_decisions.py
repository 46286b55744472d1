"""The link by which a client opens a quote, and what clients answered by theirs."""

from typing import Any

import django_filters
from django.db.models import QuerySet
from django.utils import timezone
from rest_framework import serializers
from rest_framework.response import Response
from rest_framework.reverse import reverse

from billing.models import ClientDecision, Decision, Quote
from billing.queries.client_decisions import client_decisions
from billing.queries.quote_links import quote_link
from billing.queries.quotes import quotes
from shop.http.filters import IdFilter, Order
from shop.http.permissions import EVERYONE, OFFICE, grants
from shop.http.records import Listed, Retrieved
from shop.http.serializers import InstantField, RowSerializer
from shop.http.verbs import verb
from shop.http.views import ShopViewSet


class QuoteLinkOutput(serializers.Serializer[Any]):
    """Where the client reads and answers the quote; whoever has the address can do so."""

    address = serializers.URLField()
    expires_at = InstantField()


class QuoteLinkViewSet(ShopViewSet):
    """The client's way to a quote."""

    model = Quote
    roles = grants(read=EVERYONE, write=EVERYONE)

    def rows(self) -> QuerySet[Quote]:
        """Return the quotes: everybody in the shop may see them."""
        return quotes()

    @verb(gives=QuoteLinkOutput, keeps_answer=False)
    def link(self) -> Response:
        """Sign a link to an offered quote, good until the end of its last day.

        It is not stored. Withdrawing or revising the quote revokes it. An Idempotency-Key has no
        effect here.
        """
        link = quote_link(quote=self.found(), now=timezone.now())
        address = reverse("approval-page", kwargs={"link": link.text}, request=self.request)
        return Response(self.representation({"address": address, "expires_at": link.expires_at}))


class ClientDecisionOutput(RowSerializer):
    """What a client answered, from where, and the whole text of what was promised.

    `promise_sha256` is the SHA-256 of `promise` in UTF-8. Address and user agent are personal data:
    local law says how long they may be kept and who may see them.
    """

    class Meta:
        model = ClientDecision
        fields: tuple[str, ...] = (
            *("id", "quote", "decision", "name", "reason", "decided_at"),
            *("address", "user_agent", "promise_sha256", "promise"),
        )


class ClientDecisionSummaryOutput(ClientDecisionOutput):
    """A decision in a list, without the text of the promise."""

    class Meta(ClientDecisionOutput.Meta):
        fields = ClientDecisionOutput.Meta.fields[:-1]


class ClientDecisionFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By quote, client and answer."""

    quote = IdFilter()
    client = IdFilter(field_name="quote__client")
    decision = django_filters.ChoiceFilter(choices=Decision.choices)
    order = Order(fields=["id", "decided_at"])

    class Meta:
        model = ClientDecision
        fields = ()


class ClientDecisionViewSet(Listed, Retrieved, ShopViewSet):
    """What clients answered by the links of their quotes; the office and the owner see it."""

    model = ClientDecision
    roles = grants(read=OFFICE)
    filterset_class = ClientDecisionFilter
    output = ClientDecisionOutput

    def rows(self) -> QuerySet[ClientDecision]:
        """Return the decisions, the latest first; a list leaves the texts of promises unread."""
        rows = client_decisions()
        return rows.defer("promise") if self.pages else rows

    def output_class(self) -> Any:
        """Return the short form for a list."""
        return ClientDecisionSummaryOutput if self.pages else super().output_class()
