"""How stock moved."""

import django_filters
from django.db.models import QuerySet
from rest_framework import serializers

from shop.api.costs import CostsForOffice
from shop.http.amounts import AmountField, QuantityField
from shop.http.filters import IdFilter, InstantRangeFilter, Order
from shop.http.permissions import EVERYONE, grants
from shop.http.records import Listed, Retrieved
from shop.http.serializers import RowSerializer
from shop.models import Move, MoveReason
from shop.queries.stock import moves


class MoveOutput(RowSerializer):
    """A quantity of a part, in its unit, that went from a place to another."""

    part = serializers.CharField(source="part.code")
    quantity = QuantityField()

    class Meta:
        model = Move
        fields: tuple[str, ...] = (
            *("id", "part", "from_place", "to_place", "quantity", "reason", "reference"),
            *("moved_at", "moved_by"),
        )


class MoveCostedOutput(MoveOutput):
    """A move with what the quantity cost, which the office and the owner alone see."""

    value = AmountField(required=False)

    class Meta(MoveOutput.Meta):
        fields = (*MoveOutput.Meta.fields, "value")


class MoveFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By part, the places it went from and to, reason, paper and time."""

    part = django_filters.CharFilter(field_name="part__code", max_length=60)
    from_place = IdFilter()
    to_place = IdFilter()
    reason = django_filters.ChoiceFilter(choices=MoveReason.choices)
    reference = django_filters.CharFilter(max_length=100)
    moved_at = InstantRangeFilter()
    order = Order(fields=["moved_at", "id"])

    class Meta:
        model = Move
        fields = ()


class MoveViewSet(CostsForOffice, Listed, Retrieved):
    """The ledger of stock, newest first; nothing in it ever changes."""

    model = Move
    roles = grants(read=EVERYONE)
    filterset_class = MoveFilter
    output = MoveOutput
    costed_output = MoveCostedOutput

    def rows(self) -> QuerySet[Move]:
        """Return the moves."""
        return moves()
