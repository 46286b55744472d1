"""The pianos."""

import django_filters
from django.db.models import QuerySet
from rest_framework import serializers

from shop.api.plain_records import PlainRecordViewSet
from shop.http.filters import IdFilter, Order
from shop.http.permissions import EVERYONE, OFFICE, grants
from shop.http.serializers import RowField, RowSerializer, StrictSerializer, TextField
from shop.models import Action, Instrument, Site, WoodSpecies
from shop.models.instruments import HIGHEST_MIDI, MOST_BREAKS
from shop.queries.clients import instruments


def wood_field() -> serializers.SlugRelatedField[WoodSpecies]:
    """Return the field of a wood, by its code; null while nobody has said which it is."""
    return serializers.SlugRelatedField(
        slug_field="code", queryset=WoodSpecies.objects.all(), required=False, allow_null=True
    )


class InstrumentInput(StrictSerializer):
    """A piano; its compass is given in MIDI numbers, of which 88 notes are 21 (A0) to 108 (C8)."""

    site = RowField(queryset=Site.objects.all())
    action = serializers.ChoiceField(choices=Action.choices)
    maker = TextField(max_length=100)
    model = TextField(max_length=100, required=False, allow_blank=True)
    serial_number = TextField(max_length=50, required=False, allow_blank=True)
    built_year = serializers.IntegerField(
        min_value=1700, max_value=2100, required=False, allow_null=True
    )
    lowest_midi = serializers.IntegerField(min_value=0, max_value=HIGHEST_MIDI, required=False)
    highest_midi = serializers.IntegerField(min_value=0, max_value=HIGHEST_MIDI, required=False)
    breaks_midi = serializers.ListField(
        child=serializers.IntegerField(min_value=0, max_value=HIGHEST_MIDI),
        max_length=MOST_BREAKS,
        required=False,
        help_text="The lowest note above each break in the action.",
    )
    key_covering = TextField(max_length=100, required=False, allow_blank=True)
    key_wood = wood_field()
    action_wood = wood_field()
    notes = TextField(max_length=5000, multiline=True, required=False, allow_blank=True)


class InstrumentOutput(RowSerializer):
    """A piano."""

    key_wood = serializers.CharField(source="key_wood.code", allow_null=True)
    action_wood = serializers.CharField(source="action_wood.code", allow_null=True)

    class Meta:
        model = Instrument
        fields = (
            *("id", "site", "action", "maker", "model", "serial_number", "built_year"),
            *("lowest_midi", "highest_midi", "breaks_midi", "key_covering"),
            *("key_wood", "action_wood", "notes"),
        )


class InstrumentFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By site, client, action and serial number."""

    site = IdFilter()
    client = IdFilter(field_name="site__client")
    action = django_filters.ChoiceFilter(choices=Action.choices)
    serial = django_filters.CharFilter(
        field_name="serial_number", lookup_expr="iexact", max_length=50
    )
    order = Order(fields=["id"])

    class Meta:
        model = Instrument
        fields = ()


class InstrumentViewSet(PlainRecordViewSet):
    """The pianos that the shop looks after."""

    model = Instrument
    roles = grants(read=EVERYONE, write=EVERYONE, destroy=OFFICE)
    filterset_class = InstrumentFilter
    create_input = change_input = InstrumentInput
    output = InstrumentOutput

    def rows(self) -> QuerySet[Instrument]:
        """Return the instruments."""
        return instruments()
