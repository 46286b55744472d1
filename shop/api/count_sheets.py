"""Sheets on which shelves and vans are counted while work goes on."""

from typing import Any

import django_filters
from django.db.models import QuerySet
from django.utils import timezone
from rest_framework import serializers
from rest_framework.response import Response

from shop.actions.counting import count_drop, count_enter, count_freeze, count_settle
from shop.api.stock_lines import CountedLineInput, StockLinesInput, lines_of, place_field
from shop.api.stock_papers import quantities
from shop.http.amounts import QuantityField
from shop.http.filters import IdFilter, InstantRangeFilter, Order
from shop.http.permissions import EVERYONE, OFFICE, grants
from shop.http.records import Created, Listed, Retrieved
from shop.http.serializers import RowSerializer, StrictSerializer, TextField
from shop.http.verbs import verb
from shop.http.views import Values
from shop.models import CountSheet, CountStatus
from shop.queries.stock import count_sheets, count_sheets_in_full


class CountFreezeInput(StrictSerializer):
    """The shelf or van to count."""

    place = place_field()


class CountEnterInput(StockLinesInput):
    """What was found, which may be nothing; parts that are not named stay as they were written."""

    lines = lines_of(CountedLineInput)


class CountDropInput(StrictSerializer):
    """Why the count ends."""

    reason = TextField(max_length=200)


class CountSettleInput(CountDropInput):
    """Why the differences are posted, and whether lines that nobody counted stay as they are."""

    accept_uncounted = serializers.BooleanField(default=False)


class CountSheetLineOutput(serializers.Serializer[Any]):
    """What was expected of a part at the sheet's moment, what was found, and the difference.

    `counted_quantity` and `difference` are null until somebody has counted; `move` is the id of the
    move that made the difference up.
    """

    part = serializers.CharField(source="part.code")
    expected_quantity = QuantityField()
    counted_quantity = QuantityField(allow_null=True)
    difference = QuantityField(allow_null=True)
    move = serializers.IntegerField(source="move_id", allow_null=True)


class CountSheetSummaryOutput(RowSerializer):
    """A count sheet without its lines, as lists show it."""

    class Meta:
        model = CountSheet
        fields: tuple[str, ...] = (
            *("id", "place", "status", "frozen_at", "frozen_by"),
            *("ended_at", "ended_by", "reason"),
        )


class CountSheetOutput(CountSheetSummaryOutput):
    """A count sheet: what was expected at `frozen_at`, and what was found."""

    lines = CountSheetLineOutput(many=True)

    class Meta(CountSheetSummaryOutput.Meta):
        fields = (*CountSheetSummaryOutput.Meta.fields, "lines")


class CountSheetFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By place, status and moment."""

    place = IdFilter()
    status = django_filters.ChoiceFilter(choices=CountStatus.choices)
    frozen_at = InstantRangeFilter()
    order = Order(fields=["frozen_at", "id"])

    class Meta:
        model = CountSheet
        fields = ()


class CountSheetViewSet(Listed, Retrieved, Created):
    """Counts of shelves and vans, newest first.

    A new sheet freezes what is expected at that moment. What moves while people count stays moved:
    settling posts what was found less what was expected then.
    """

    model = CountSheet
    roles = grants(read=EVERYONE, write=OFFICE, counted=EVERYONE)
    filterset_class = CountSheetFilter
    create_input = CountFreezeInput
    output = CountSheetOutput

    def rows(self) -> QuerySet[CountSheet]:
        """Return the sheets."""
        return count_sheets() if self.pages else count_sheets_in_full()

    def output_class(self) -> Any:
        """Return the short form for a list."""
        return CountSheetSummaryOutput if self.pages else super().output_class()

    def add(self, values: Values) -> CountSheet:
        """Freeze what is expected at the place."""
        return count_freeze(frozen_at=timezone.now(), frozen_by=self.user, **values)

    @verb(takes=CountEnterInput)
    def counted(self) -> Response:
        """Write what was found on the sheet; a part that was not expected gets a line."""
        count_enter(sheet=self.found(), counted=quantities(self.checked()))
        return self.shown(self.found())

    @verb(takes=CountSettleInput)
    def settle(self) -> Response:
        """Post the differences as moves and end the count."""
        sheet = self.found()
        count_settle(sheet=sheet, ended_at=timezone.now(), ended_by=self.user, **self.checked())
        return self.shown(self.found())

    @verb(takes=CountDropInput)
    def drop(self) -> Response:
        """End the count and post nothing."""
        count_drop(
            sheet=self.found(), ended_at=timezone.now(), ended_by=self.user, **self.checked()
        )
        return self.shown(self.found())
