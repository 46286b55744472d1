"""How much of each part is where."""

import django_filters
from django.db.models import QuerySet
from rest_framework import serializers

from shop.http.amounts import QuantityField
from shop.http.filters import IdFilter, Order, TrueFalseFilter
from shop.http.permissions import EVERYONE, grants
from shop.http.records import Listed, Retrieved
from shop.http.serializers import RowSerializer
from shop.models import Level, PlaceKind
from shop.queries.stock import levels


class LevelOutput(RowSerializer):
    """A quantity of a part, in its unit, at a place; the world outside goes below zero."""

    part = serializers.CharField(source="part.code")
    unit = serializers.CharField(source="part.unit")
    place_name = serializers.CharField(source="place.name")
    kind = serializers.CharField(source="place.kind")
    quantity = QuantityField()

    class Meta:
        model = Level
        fields = ("id", "part", "unit", "place", "place_name", "kind", "is_held", "quantity")


class LevelFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By part, place, kind of place, and whether the shop holds what is there."""

    part = django_filters.CharFilter(field_name="part__code", max_length=60)
    place = IdFilter()
    kind = django_filters.ChoiceFilter(field_name="place__kind", choices=PlaceKind.choices)
    is_held = TrueFalseFilter()
    order = Order(fields=["id"])

    class Meta:
        model = Level
        fields = ()


class LevelViewSet(Listed, Retrieved):
    """How much of each part is where: the sum of its moves."""

    model = Level
    roles = grants(read=EVERYONE)
    filterset_class = LevelFilter
    output = LevelOutput

    def rows(self) -> QuerySet[Level]:
        """Return the levels."""
        return levels()
