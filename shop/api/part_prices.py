"""What parts cost from a day on: prices entered ahead, and those that held before."""

import django_filters
from django.db.models import QuerySet
from rest_framework import serializers

from shop.api.parts import unit_price
from shop.api.plain_records import PlainRecordViewSet
from shop.http.amounts import PriceField
from shop.http.filters import Order
from shop.http.permissions import EVERYONE, OFFICE, grants
from shop.http.serializers import RowSerializer, StrictSerializer
from shop.models import Part, PartPrice
from shop.queries.part_prices import part_prices


class PartPriceInput(StrictSerializer):
    """What a unit of a part costs from a day on, until its next price."""

    part = serializers.SlugRelatedField(slug_field="code", queryset=Part.objects.all())
    price = unit_price()
    valid_from = serializers.DateField()


class PartPriceOutput(RowSerializer):
    """A part's price from a day on."""

    part = serializers.CharField(source="part.code")
    price = PriceField()

    class Meta:
        model = PartPrice
        fields = ("id", "part", "price", "valid_from")


class PartPriceFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By part and by day."""

    part = django_filters.CharFilter(field_name="part__code", max_length=60)
    valid_from = django_filters.DateFromToRangeFilter()
    order = Order(fields=["id", "valid_from"])

    class Meta:
        model = PartPrice
        fields = ()


class PartPriceViewSet(PlainRecordViewSet):
    """Parts' prices from a day on. A quote keeps the prices of the day it was made."""

    model = PartPrice
    roles = grants(read=EVERYONE, write=OFFICE)
    filterset_class = PartPriceFilter
    create_input = change_input = PartPriceInput
    output = PartPriceOutput

    def rows(self) -> QuerySet[PartPrice]:
        """Return the dated prices."""
        return part_prices()
