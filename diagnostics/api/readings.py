"""Readings of the room that an instrument stands in."""

from decimal import Decimal

import django_filters
from django.db.models import QuerySet
from django.utils import timezone
from rest_framework import serializers

from diagnostics.actions.readings import reading_change, reading_create
from diagnostics.models import ReadingPlace, RoomReading
from diagnostics.queries.examinations import readings
from shop.actions.records import record_delete
from shop.http.filters import IdFilter, InstantRangeFilter, Order
from shop.http.permissions import EVERYONE, grants
from shop.http.records import Changed, Created, Deleted, Listed, Retrieved
from shop.http.serializers import InstantField, RowField, RowSerializer, StrictSerializer
from shop.http.views import ShopViewSet, Values
from shop.models import Instrument

LOWEST_HUMIDITY = Decimal("0.1")


class ReadingValuesInput(StrictSerializer):
    """What was read: degrees Celsius and relative humidity in percent."""

    taken_at = InstantField()
    temperature_c = serializers.DecimalField(
        max_digits=4, decimal_places=1, min_value=-30, max_value=60
    )
    humidity_percent = serializers.DecimalField(
        max_digits=4, decimal_places=1, min_value=LOWEST_HUMIDITY, max_value=100
    )


class ReadingChangeInput(ReadingValuesInput):
    """A reading, and where it was taken."""

    place = serializers.ChoiceField(choices=ReadingPlace.choices, default=ReadingPlace.ROOM)


class ReadingCreateInput(ReadingChangeInput):
    """A new reading."""

    instrument = RowField(queryset=Instrument.objects.all())


class ReadingOutput(RowSerializer):
    """A reading, and who took it."""

    class Meta:
        model = RoomReading
        fields = (
            *("id", "instrument", "taken_at", "place", "temperature_c", "humidity_percent"),
            "taken_by",
        )


class ReadingFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By instrument, place and time."""

    instrument = IdFilter()
    place = django_filters.ChoiceFilter(choices=ReadingPlace.choices)
    taken_at = InstantRangeFilter()
    order = Order(fields=["taken_at", "id"])

    class Meta:
        model = RoomReading
        fields = ()


class ReadingViewSet(Listed, Retrieved, Created, Changed, Deleted, ShopViewSet):
    """Readings, newest first."""

    model = RoomReading
    roles = grants(read=EVERYONE, write=EVERYONE)
    filterset_class = ReadingFilter
    create_input = ReadingCreateInput
    change_input = ReadingChangeInput
    output = ReadingOutput

    def rows(self) -> QuerySet[RoomReading]:
        """Return the readings: everybody in the shop may see them."""
        return readings()

    def add(self, values: Values) -> RoomReading:
        """Keep a reading that the caller took."""
        return reading_create(values={**values, "taken_by": self.user}, now=timezone.now())

    def change(self, row: RoomReading, values: Values) -> RoomReading:
        """Correct a reading."""
        return reading_change(reading=row, changes=values, now=timezone.now())

    def remove(self, row: RoomReading) -> None:
        """Delete a reading."""
        record_delete(record=row)
