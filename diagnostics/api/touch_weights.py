"""The weights of the notes of an examination, also of healthy ones."""

from typing import Any

import django_filters
from django.db.models import QuerySet
from rest_framework import serializers
from rest_framework.response import Response

from diagnostics.actions.touch_weights import TouchWeightDraft, touch_weights_record
from diagnostics.api.measurements import measure_field
from diagnostics.api.notes import NOTE_FIELDS, NotedOutput, NoteField, NoteFilter
from diagnostics.api.rows import RowsOfExamination
from diagnostics.models import Quantity, TouchWeight
from diagnostics.models.touch_weights import WEIGHTS
from diagnostics.queries.touch import touch_weights_in_full
from shop.actions.records import record_delete
from shop.http.amounts import QuantityField
from shop.http.csv_parsers import StrictCSVParser
from shop.http.filters import Order
from shop.http.parsers import StrictJSONParser
from shop.http.permissions import EVERYONE, grants
from shop.http.records import Deleted, Listed, Retrieved
from shop.http.serializers import StrictSerializer
from shop.http.views import ShopViewSet, Values


class TouchWeightInput(StrictSerializer):
    """The weights of the notes that `note` names; one at least is given."""

    note = NoteField()
    down_weight_g = measure_field(Quantity.DOWN_WEIGHT_G)
    up_weight_g = measure_field(Quantity.UP_WEIGHT_G)
    key_friction_g = measure_field(Quantity.KEY_FRICTION_G)

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        """Return the values.

        Raises:
            ValidationError: nothing was measured, or the key lifts more than what presses it down.
        """
        down, up, _ = (attrs.get(quantity) for quantity in WEIGHTS)
        if all(attrs.get(quantity) is None for quantity in WEIGHTS):
            detail = "Give at least one weight of the note."
            raise serializers.ValidationError(
                {"down_weight_g": serializers.ErrorDetail(detail, "nothing-measured")}
            )
        if down is not None and up is not None and up > down:
            detail = "A key lifts no more than what presses it down."
            raise serializers.ValidationError(
                {"up_weight_g": serializers.ErrorDetail(detail, "weights-crossed")}
            )
        return attrs


class TouchWeightOutput(NotedOutput):
    """The weights of a note, in grams; null where not measured."""

    down_weight_g = QuantityField(read_only=True, allow_null=True)
    up_weight_g = QuantityField(read_only=True, allow_null=True)
    key_friction_g = QuantityField(read_only=True, allow_null=True)

    class Meta:
        model = TouchWeight
        fields = ("id", "examination", *NOTE_FIELDS, *WEIGHTS)


class TouchWeightsStoredOutput(serializers.Serializer[Any]):
    """What was stored of a post, in its order."""

    items = TouchWeightOutput(many=True, source="*")


class TouchWeightFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By notes."""

    note = NoteFilter()
    order = Order(fields=["note_midi", "id"])

    class Meta:
        model = TouchWeight
        fields = ()


class ExaminationTouchWeightViewSet(Listed, RowsOfExamination):
    """The weights of the notes of one examination; a post is one row, a list or a sheet."""

    model = TouchWeight
    roles = grants(read=EVERYONE, write=EVERYONE)
    parser_classes = (StrictJSONParser, StrictCSVParser)
    filterset_class = TouchWeightFilter
    create_input = TouchWeightInput
    output = TouchWeightOutput
    stored_output = TouchWeightsStoredOutput

    def rows(self) -> QuerySet[TouchWeight]:
        """Return the weights of the examination, lowest note first."""
        rows = touch_weights_in_full().filter(examination=self.examination())
        return rows.order_by("note_midi", "id")

    def create(self) -> Response:
        """Return the weights stored."""
        sent, errors = self.checked_rows()
        stored = touch_weights_record(
            examination=self.examination_locked(),
            drafts=[_draft(pointer, values) for pointer, values in sent],
            naming=self.naming(),
            errors=errors,
        )
        return self.stored(touch_weights_in_full().filter(pk__in=[row.pk for row in stored]))


class TouchWeightViewSet(Retrieved, Deleted, ShopViewSet):
    """The weights of one note."""

    model = TouchWeight
    roles = grants(read=EVERYONE, write=EVERYONE)
    output = TouchWeightOutput

    def rows(self) -> QuerySet[TouchWeight]:
        """Return the weights: everybody in the shop may see them."""
        return touch_weights_in_full()

    def remove(self, row: TouchWeight) -> None:
        """Delete the weights, so that the note can be weighed again."""
        record_delete(record=row)


def _draft(pointer: str, values: Values) -> TouchWeightDraft:
    return TouchWeightDraft(pointer, values.pop("note"), values)
