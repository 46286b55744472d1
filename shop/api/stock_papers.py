"""The papers that move stock: goods received, transfers, what was scrapped, and counts."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from django.utils import timezone
from rest_framework import serializers
from rest_framework.response import Response

from shop.actions.stock import (
    Posted,
    ReceivedLine,
    goods_receive,
    stock_count,
    stock_return,
    stock_scrap,
    stock_transfer,
)
from shop.api.costs import CostsForOffice
from shop.api.moves import MoveCostedOutput, MoveOutput
from shop.api.stock_lines import (
    CountedLineInput,
    ReceivedLineInput,
    StockLineInput,
    StockLinesInput,
    StockPaperInput,
    lines_of,
    place_field,
)
from shop.http.permissions import EVERYONE, OFFICE, grants
from shop.http.serializers import TextField
from shop.http.views import Values
from shop.models import Move
from shop.queries.stock import moves


class GoodsReceivedInput(StockPaperInput):
    """What came from the suppliers, to a shelf or van."""

    place = place_field()
    lines = lines_of(ReceivedLineInput)


class TransferInput(StockPaperInput):
    """What went from a shelf or van to another."""

    from_place = place_field()
    to_place = place_field()
    lines = lines_of(StockLineInput)


class ScrappedInput(StockLinesInput):
    """What was thrown away from a shelf or van, and why, which stands as the moves' reference."""

    reason = TextField(max_length=100, source="reference")
    from_place = place_field()
    lines = lines_of(StockLineInput)


class GoodsReturnedInput(StockPaperInput):
    """What went back to a supplier without an order here, from a shelf or van."""

    from_place = place_field()
    lines = lines_of(StockLineInput)


class CountInput(StockPaperInput):
    """How much was found on a shelf or in a van; parts that are not named stay as they are."""

    place = place_field()
    lines = lines_of(CountedLineInput)


class PostedMovesOutput(serializers.Serializer[Any]):
    """The moves that a paper made."""

    items = MoveOutput(many=True)


class PostedMovesCostedOutput(serializers.Serializer[Any]):
    """The moves that a paper made, with what the quantities cost for the office and the owner."""

    items = MoveCostedOutput(many=True)


class StockPaperViewSet(CostsForOffice):
    """Base of the views that post a paper; a correction is another paper."""

    model = Move
    roles = grants(write=OFFICE)
    output = PostedMovesOutput
    costed_output = PostedMovesCostedOutput

    def post_moves(self, values: Values, posted: Posted) -> list[Move]:
        """Post the moves of the paper and return them."""
        raise NotImplementedError

    def create(self) -> Response:
        """Return the moves that the paper made."""
        values = self.checked()
        posted = Posted(timezone.now(), self.user, values["reference"])
        made = self.post_moves(values, posted)
        rows = moves().filter(pk__in=[move.pk for move in made]).order_by("id")
        return self.shown({"items": rows}, 201)


class GoodsReceivedViewSet(StockPaperViewSet):
    """Goods received from the suppliers, at what they cost."""

    create_input = GoodsReceivedInput

    def post_moves(self, values: Values, posted: Posted) -> list[Move]:
        """Put the goods away."""
        lines = [ReceivedLine(**line) for line in values["lines"]]
        return goods_receive(lines=lines, place=values["place"], posted=posted)


class TransferViewSet(StockPaperViewSet):
    """Stock moved between shelves and vans."""

    roles = grants(write=EVERYONE)
    create_input = TransferInput

    def post_moves(self, values: Values, posted: Posted) -> list[Move]:
        """Move what is there, or refuse naming each line of which there is too little."""
        return stock_transfer(
            quantities=quantities(values),
            from_place=values["from_place"],
            to_place=values["to_place"],
            posted=posted,
        )


class ScrappedViewSet(StockPaperViewSet):
    """Stock thrown away."""

    create_input = ScrappedInput

    def post_moves(self, values: Values, posted: Posted) -> list[Move]:
        """Write it off, or refuse naming each line of which there is too little."""
        return stock_scrap(
            quantities=quantities(values), from_place=values["from_place"], posted=posted
        )


class GoodsReturnedViewSet(StockPaperViewSet):
    """Goods sent back that no order here brought; what an order brought goes back by the order."""

    create_input = GoodsReturnedInput

    def post_moves(self, values: Values, posted: Posted) -> list[Move]:
        """Send them back, or refuse naming each line of which there is too little."""
        return stock_return(
            quantities=quantities(values), from_place=values["from_place"], posted=posted
        )


class CountViewSet(StockPaperViewSet):
    """Stock counted: levels become what was found, by correcting moves."""

    create_input = CountInput

    def post_moves(self, values: Values, posted: Posted) -> list[Move]:
        """Correct the levels."""
        return stock_count(counted=quantities(values), place=values["place"], posted=posted)


def quantities(values: Values) -> Mapping[int, Decimal]:
    """Return the quantity of each part, by its key, in the order of the lines."""
    return {line["part"].pk: line["quantity"] for line in values["lines"]}
