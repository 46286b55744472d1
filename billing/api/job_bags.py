"""Filling the job bags of open quotes: from a shelf or van, and from one bag to another."""

from typing import Any

from django.db.models import QuerySet
from django.utils import timezone
from rest_framework import serializers
from rest_framework.response import Response

from billing.actions.job_bags import Given, quote_parts_give, quote_top_up
from billing.api.quote_outputs import BagLineOutput
from billing.models import Quote
from billing.queries.quotes import quotes_in_full
from shop.api.stock_lines import MOST_LINES, StockLineInput, StockLinesInput, lines_of
from shop.http.permissions import EVERYONE, grants
from shop.http.serializers import RowField, StrictSerializer, TextField
from shop.http.verbs import verb
from shop.http.views import ShopViewSet
from shop.models import Place, PlaceKind


class QuoteTopUpInput(StrictSerializer):
    """From where, and which parts by their codes; all that are short when left out."""

    from_place = RowField(
        queryset=Place.objects.filter(kind__in=[PlaceKind.SHELF, PlaceKind.VAN]),
        required=False,
        help_text="A shelf or van; that which the quote was made from when left out.",
    )
    parts = serializers.ListField(child=TextField(max_length=60), max_length=MOST_LINES, default=[])
    require_stock = serializers.BooleanField(default=False)


class PartsGiveInput(StockLinesInput):
    """Parts for the job bag of another open quote that needs them sooner."""

    to_quote = RowField(queryset=Quote.objects.all())
    lines = lines_of(StockLineInput)


class JobBagOutput(serializers.Serializer[Any]):
    """What a quote's job bag should hold, what it got so far, and what is short."""

    quote = serializers.IntegerField(source="pk")
    bag = serializers.IntegerField(source="bag_id")
    is_short = serializers.BooleanField()
    bag_lines = BagLineOutput(many=True)


class PartsGivenOutput(serializers.Serializer[Any]):
    """Both bags as they are now."""

    from_quote = JobBagOutput()
    to_quote = JobBagOutput()


class QuoteBagViewSet(ShopViewSet):
    """The job bags of open quotes."""

    model = Quote
    roles = grants(write=EVERYONE)
    output = JobBagOutput

    def rows(self) -> QuerySet[Quote]:
        """Return the quotes: everybody in the shop may see them."""
        return quotes_in_full()

    @verb(takes=QuoteTopUpInput)
    def top_up(self) -> Response:
        """Put what is short into the bag, as far as there is stock by now."""
        quote, values = self.found(), self.checked()
        quote_top_up(
            quote=quote,
            from_place=values.get("from_place", quote.from_place),
            codes=values["parts"],
            require_stock=values["require_stock"],
            topped_up_at=timezone.now(),
            topped_up_by=self.user,
        )
        return self.shown(self.found())

    @verb(takes=PartsGiveInput, gives=PartsGivenOutput)
    def give_parts(self) -> Response:
        """Move parts to the bag of a quote that needs them sooner; this one lacks them then."""
        quote, values = self.found(), self.checked()
        quote_parts_give(
            quote=quote,
            to_quote=values["to_quote"],
            given=[Given(**line) for line in values["lines"]],
            given_at=timezone.now(),
            given_by=self.user,
        )
        bags = quotes_in_full().in_bulk([quote.pk, values["to_quote"].pk])
        return self.shown({"from_quote": bags[quote.pk], "to_quote": bags[values["to_quote"].pk]})
