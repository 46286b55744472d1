"""Opening stock and counts as sheets."""

from typing import Any

from django.utils import timezone
from rest_framework import serializers

from shop.actions.count_entries import count_entries_apply
from shop.actions.opening_stock import opening_stock_apply
from shop.actions.sheets import RowOutcome, Sheet
from shop.actions.stock import Posted
from shop.api.sheets import SheetOutput, SheetViewSet
from shop.api.stock_lines import quantity_field
from shop.http.amounts import CurrencyField, PriceField, QuantityField
from shop.http.serializers import StrictSerializer, TextField
from shop.models import CountSheet, Move
from shop.queries.sheets import Columns, count_entry_rows, opening_rows

# Bodies, for the description of the API; a test posts them.
OPENING_SHEET = """\
part,place,quantity,unit_cost,currency
hammer-shank,Main shelf,240,1.4525,EUR
damper-felt-wedge,Main shelf,3.75,4.20,EUR
"""
COUNT_SHEET = """\
place,part,counted_quantity
Main shelf,hammer-shank,238
Main shelf,damper-felt-wedge,3.5
"""


class OpeningStockRowInput(StrictSerializer):
    """How much there was of a part on a shelf or in a van, and what one unit of it cost before tax.

    `part` is a code and `place` a name. Only parts that have not moved yet have opening stock.
    """

    part = TextField(max_length=60)
    place = TextField(max_length=100)
    quantity = quantity_field()
    unit_cost = serializers.DecimalField(max_digits=12, decimal_places=4, min_value=0)
    currency = CurrencyField()


class OpeningStockRowOutput(serializers.Serializer[Any]):
    """What was posted of a part; the unit cost is what its value comes from, to four places."""

    part = serializers.CharField()
    place = serializers.CharField()
    quantity = QuantityField()
    unit_cost = PriceField()
    currency = serializers.CharField()


class OpeningStockSheetOutput(SheetOutput):
    """All opening stock, by part and place."""

    items = OpeningStockRowOutput(many=True)


class OpeningStockSheetViewSet(SheetViewSet):
    """What there was when the shop's books began, as a sheet.

    It comes into the ledger from the suppliers, as goods received do, and sets the average cost.
    """

    model = Move
    takes_row = OpeningStockRowInput
    gives_rows = OpeningStockSheetOutput
    sheet_example = OPENING_SHEET

    def stored(self) -> list[Columns]:
        """Return what was posted."""
        return opening_rows()

    def apply(self, sheet: Sheet) -> list[RowOutcome]:
        """Post what there was."""
        posted = Posted(timezone.now(), self.user)
        return opening_stock_apply(sheet=sheet, posted=posted)


class CountEntryRowInput(StrictSerializer):
    """How much was found of a part at a place that is being counted; empty says nothing of it.

    `part` is a code and `place` a name, of which there is an open count sheet.
    """

    place = TextField(max_length=100)
    part = TextField(max_length=60)
    counted_quantity = serializers.DecimalField(
        max_digits=11, decimal_places=3, min_value=0, allow_null=True
    )


class CountEntryRowOutput(serializers.Serializer[Any]):
    """A line of an open count sheet."""

    place = serializers.CharField()
    part = serializers.CharField()
    counted_quantity = QuantityField(allow_null=True)


class CountEntrySheetOutput(SheetOutput):
    """The lines of all open count sheets, by place and part, to be filled in."""

    items = CountEntryRowOutput(many=True)


class CountEntrySheetViewSet(SheetViewSet):
    """What was counted, as a sheet, which fills the open count sheets; settling posts it."""

    model = CountSheet
    takes_row = CountEntryRowInput
    gives_rows = CountEntrySheetOutput
    sheet_example = COUNT_SHEET

    def stored(self) -> list[Columns]:
        """Return the lines of the open sheets."""
        return count_entry_rows()

    def apply(self, sheet: Sheet) -> list[RowOutcome]:
        """Write what was found."""
        return count_entries_apply(sheet=sheet)
