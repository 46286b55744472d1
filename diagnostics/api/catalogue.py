"""The catalogue of the trade, to read: each row says where it comes from."""

from typing import Any

import django_filters
from django.db.models import Q, QuerySet
from django.shortcuts import get_object_or_404
from rest_framework import serializers

from diagnostics.api.fields import CodeRelatedField
from diagnostics.models import (
    Caution,
    Component,
    Fault,
    Remedy,
    RemedyPart,
    SetUp,
    Tool,
)
from diagnostics.queries.catalogue import remedies_in_full
from shop.http.amounts import QuantityField
from shop.http.filters import Order
from shop.http.permissions import EVERYONE, grants
from shop.http.records import Listed, Retrieved
from shop.http.serializers import RowSerializer
from shop.http.views import ShopViewSet
from shop.models import Action

ROW = ("id", "code", "name", "provenance", "source")
ACTION_ROW = ("id", "code", "name", "actions", "provenance", "source")
MINUTES = ("minutes_low", "minutes_likely", "minutes_high")


class ComponentOutput(RowSerializer):
    """A part of the piano that a finding can point at."""

    class Meta:
        model = Component
        fields = ACTION_ROW


class FaultOutput(RowSerializer):
    """What a note does that it should not."""

    class Meta:
        model = Fault
        fields = (*ACTION_ROW, "letter", "family", "description")


class SetUpOutput(RowSerializer):
    """Getting at the work, which is charged once at the deepest."""

    cautions = CodeRelatedField(many=True)

    class Meta:
        model = SetUp
        fields = (*ACTION_ROW, "depth", *MINUTES, "cautions")


class ToolOutput(RowSerializer):
    """What a remedy is done with."""

    class Meta:
        model = Tool
        fields = ROW


class CatalogueCautionOutput(RowSerializer):
    """What can hurt someone or touches the law."""

    class Meta:
        model = Caution
        fields = (*ROW, "text", "topics")


class RemedyPartOutput(RowSerializer):
    """How much of a part a remedy needs."""

    part = CodeRelatedField()
    name = serializers.CharField(source="part.name")
    unit = serializers.CharField(source="part.unit")
    quantity = QuantityField(read_only=True)

    class Meta:
        model = RemedyPart
        fields = ("part", "name", "quantity", "unit")


class RemedyOutput(RowSerializer):
    """What puts a cause right."""

    set_up = SetUpOutput()
    parts = RemedyPartOutput(source="remedy_parts", many=True)
    tools = ToolOutput(many=True)
    cautions = CatalogueCautionOutput(many=True)

    class Meta:
        model = Remedy
        fields = (
            *(*ACTION_ROW, "description", "charged_per", *MINUTES),
            *("takes_pin_kit", "pins_per_note", "treats_room", "set_up"),
            *("parts", "tools", "cautions"),
        )


class CatalogueFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By words of the code or the name."""

    search = django_filters.CharFilter(method="matching", max_length=100)
    order = Order(fields=["code", "name", "id"])

    class Meta:
        fields = ()

    def matching(self, rows: QuerySet[Any], _: str, text: str) -> QuerySet[Any]:
        """Return the rows whose code or name holds `text`."""
        return rows.filter(Q(code__icontains=text) | Q(name__icontains=text))


class ActionRowFilter(CatalogueFilter):
    """By the kind of action too."""

    action = django_filters.ChoiceFilter(
        choices=Action.choices, field_name="actions", method="having"
    )

    def having(self, rows: QuerySet[Any], name: str, action: str) -> QuerySet[Any]:
        """Return the rows that this kind of action has."""
        return rows.filter(**{f"{name}__contains": [action]})


class CatalogueViewSet(Listed, Retrieved, ShopViewSet):
    """Base of the catalogue's views: rows are found by their codes, and read by everyone."""

    roles = grants(read=EVERYONE)
    filterset_class = ActionRowFilter
    lookup_field = "code"
    lookup_value_regex = "[-A-Za-z0-9_]{1,60}"

    def rows(self) -> QuerySet[Any]:
        """Return the rows by their codes."""
        return self.model._default_manager.order_by("code")

    def found(self) -> Any:
        """Return the row that the path names by its code."""
        return get_object_or_404(self.rows(), code=self.kwargs["code"])


class ComponentViewSet(CatalogueViewSet):
    """The parts of the piano that a finding can point at."""

    model = Component
    output = ComponentOutput


class FaultViewSet(CatalogueViewSet):
    """What a note can do that it should not."""

    model = Fault
    output = FaultOutput


class SetUpViewSet(CatalogueViewSet):
    """The ways of getting at the work, and their minutes."""

    model = SetUp
    output = SetUpOutput

    def rows(self) -> QuerySet[SetUp]:
        """Return the set-ups with their cautions."""
        return super().rows().prefetch_related("cautions")


class ToolViewSet(CatalogueViewSet):
    """What remedies are done with."""

    model = Tool
    filterset_class = CatalogueFilter
    output = ToolOutput


class CautionViewSet(CatalogueViewSet):
    """What can hurt someone or touches the law: general trade information, no legal advice."""

    model = Caution
    filterset_class = CatalogueFilter
    output = CatalogueCautionOutput


class RemedyViewSet(CatalogueViewSet):
    """What puts causes right, with what it takes."""

    model = Remedy
    output = RemedyOutput

    def rows(self) -> QuerySet[Remedy]:
        """Return the remedies by their codes."""
        return remedies_in_full()
