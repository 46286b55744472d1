"""Balance and friction of the notes that an examination measured."""

from typing import Any

from django.db.models import QuerySet
from rest_framework import serializers
from rest_framework.response import Response

from diagnostics.api.fields import FormulaOutput
from diagnostics.api.notes import MidiNoteField, MidiNotesField
from diagnostics.api.spread_examples import TOUCH
from diagnostics.models import Examination
from diagnostics.queries.examinations import examinations_with_instrument
from diagnostics.queries.touch import touch_of_examination
from diagnostics.rules.ranges import Standing
from diagnostics.rules.touch import TouchQuantity
from shop.http.amounts import QuantityField
from shop.http.permissions import EVERYONE, grants
from shop.http.verbs import report
from shop.http.views import ShopViewSet

QUANTITIES = [(each.value, each.value) for each in TouchQuantity]
STANDINGS = [(each.value, each.value) for each in Standing]


class GramsField(serializers.FloatField):
    """Grams that were computed, to a tenth."""

    def to_representation(self, value: Any) -> Any:
        """Return the number, rounded."""
        return round(value, 1) + 0.0  # never -0.0


class TouchValueOutput(serializers.Serializer[Any]):
    """A quantity of a note, in grams, and how it compares."""

    quantity = serializers.ChoiceField(choices=QUANTITIES)
    value_g = QuantityField(read_only=True)
    smooth_g = GramsField(
        allow_null=True, help_text="What its neighbours let expect; null of fewer than 8 notes."
    )
    stands_out = serializers.BooleanField(help_text="It is unlike its neighbours'.")
    standing = serializers.ChoiceField(
        choices=STANDINGS, allow_null=True, help_text="To the range that judges it."
    )
    judged_by = serializers.CharField(help_text="The code of that range.")


class NoteTouchOutput(serializers.Serializer[Any]):
    """What is told of one note."""

    note_midi = serializers.IntegerField(source="midi")
    note = MidiNoteField(source="midi")
    is_remarkable = serializers.SerializerMethodField(
        help_text="A value is outside its range, or unlike its neighbours'."
    )
    values = TouchValueOutput(many=True)

    def get_is_remarkable(self, note: Any) -> bool:
        """Return whether there is something to say of the note."""
        return any(value.is_remarkable for value in note.values)


class TouchCurveOutput(serializers.Serializer[Any]):
    """How a quantity runs along the keyboard, smoothed."""

    quantity = serializers.ChoiceField(choices=QUANTITIES)
    notes = serializers.IntegerField(help_text="How many were measured.")
    lowest_note_g = GramsField()
    highest_note_g = GramsField()
    fall_g = GramsField(help_text="From bass to treble; friction usually falls by about 4 g.")
    scale_g = GramsField(help_text="A note stands out from 3.5 times this.")


class TouchComparisonOutput(serializers.Serializer[Any]):
    """A range, with its source, and how many of the notes lie in it."""

    range = serializers.CharField(source="range.code")
    name = serializers.CharField(source="range.name")
    quantity = serializers.ChoiceField(choices=QUANTITIES, source="range.quantity")
    low = QuantityField(source="range.low", read_only=True, allow_null=True)
    high = QuantityField(source="range.high", read_only=True, allow_null=True)
    judges = serializers.BooleanField(source="range.judges")
    below = serializers.IntegerField()
    within = serializers.IntegerField()
    above = serializers.IntegerField()
    provenance = serializers.CharField(source="range.provenance")
    published_in = serializers.CharField(source="range.source")


class TouchOutput(serializers.Serializer[Any]):
    """The touch of the notes measured, lowest first.

    Down weight is the least that makes a key go down slowly, up weight the most that it lifts, at
    a fixed point at the key's front, the sustain pedal held, the key exercised first.
    """

    examination = serializers.IntegerField(source="examination.pk")
    sentence = serializers.CharField(help_text="How many were weighed, and what that suffices for.")
    notes = NoteTouchOutput(source="touch.notes", many=True)
    curves = TouchCurveOutput(source="touch.curves", many=True)
    ranges = TouchComparisonOutput(source="touch.comparisons", many=True)
    impossible = MidiNotesField(
        source="touch.impossible",
        help_text="Their up weight is above their down weight: measure them again.",
    )
    formulas = FormulaOutput(source="touch.formulas", many=True)


class ExaminationTouchViewSet(ShopViewSet):
    """What the keyboard feels like, from the weights that an examination measured."""

    model = Examination
    roles = grants(read=EVERYONE)
    output = TouchOutput

    def rows(self) -> QuerySet[Examination]:
        """Return the examinations: everybody in the shop may see them."""
        return examinations_with_instrument()

    @report(gives=TouchOutput, of_one=True, example=TOUCH)
    def touch(self) -> Response:
        """Return balance and friction by note, and which notes are unlike their neighbours."""
        return self.shown(touch_of_examination(self.found()))
