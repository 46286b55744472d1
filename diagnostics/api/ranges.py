"""Between what values measured quantities should lie, to read."""

import django_filters
from django.db.models import QuerySet
from rest_framework import serializers

from diagnostics.api.catalogue import ACTION_ROW, ActionRowFilter, CatalogueViewSet
from diagnostics.api.fields import CodeRelatedField
from diagnostics.models import MeasuredRange, RangedQuantity, SwingsCounted
from diagnostics.queries.ranges import ranges_in_full
from shop.http.amounts import QuantityField
from shop.http.serializers import RowSerializer


class MeasuredRangeOutput(RowSerializer):
    """A range; an end that is null is open. Outside one that `judges`, a value is low or high."""

    component = CodeRelatedField(allow_null=True)
    low = QuantityField(read_only=True, allow_null=True)
    high = QuantityField(read_only=True, allow_null=True)
    radius_mm = QuantityField(read_only=True, allow_null=True)
    swings_counted = serializers.ChoiceField(
        choices=SwingsCounted.choices, read_only=True, allow_blank=True
    )

    class Meta:
        model = MeasuredRange
        fields = (
            *(*ACTION_ROW, "quantity", "component", "section", "low", "high"),
            *("radius_mm", "swings_counted", "judges"),
        )


class MeasuredRangeFilter(ActionRowFilter):
    """By quantity and by the component's code too."""

    quantity = django_filters.ChoiceFilter(choices=RangedQuantity.choices)
    component = django_filters.CharFilter(field_name="component__code")


class MeasuredRangeViewSet(CatalogueViewSet):
    """The ranges that measured values are judged against, and others to compare with."""

    model = MeasuredRange
    filterset_class = MeasuredRangeFilter
    output = MeasuredRangeOutput

    def rows(self) -> QuerySet[MeasuredRange]:
        """Return the ranges by their codes."""
        return ranges_in_full()
