"""What was measured of action centres, and how it stands by the catalogue's ranges."""

from typing import Any

from django.db.models import QuerySet
from rest_framework import serializers
from rest_framework.response import Response

from diagnostics.api.fields import FormulaOutput
from diagnostics.api.notes import MidiNoteField
from diagnostics.api.pin_examples import CENTRES
from diagnostics.api.pin_sizes import PinSizeOutput
from diagnostics.models import Examination, SwingsCounted
from diagnostics.queries.centres import centres_of
from diagnostics.queries.examinations import examinations_with_instrument
from diagnostics.rules.friction import STANDARD_GRAVITY
from diagnostics.rules.ranges import Standing
from shop.http.amounts import QuantityField, RoundedQuantityField
from shop.http.permissions import EVERYONE, grants
from shop.http.verbs import report
from shop.http.views import ShopViewSet


class JudgingRangeOutput(serializers.Serializer[Any]):
    """The range that a value was judged by, as the catalogue has it."""

    code = serializers.CharField()
    name = serializers.CharField()
    low = QuantityField(allow_null=True)
    high = QuantityField(allow_null=True)
    radius_mm = QuantityField(allow_null=True)
    swings_counted = serializers.ChoiceField(choices=SwingsCounted.choices, allow_blank=True)
    provenance = serializers.CharField()
    source = serializers.CharField()  # type: ignore[assignment]


class JudgementOutput(serializers.Serializer[Any]):
    """Where a value stands; `low` and `high` are the range in the way the value was measured."""

    standing = serializers.ChoiceField(choices=list(Standing))
    low = RoundedQuantityField(places=2, source="limits.low", allow_null=True)
    high = RoundedQuantityField(places=2, source="limits.high", allow_null=True)
    by = JudgingRangeOutput()


class FrictionOutput(serializers.Serializer[Any]):
    """Friction of a flange; grams mean nothing without their radius, torque does."""

    force_g = QuantityField()
    radius_mm = QuantityField()
    torque_gf_mm = RoundedQuantityField(places=2, help_text="Gram-force millimetres.")
    torque_mn_m = RoundedQuantityField(places=2, help_text="Millinewton metres.")
    judgement = JudgementOutput(allow_null=True)


class SwingsOutput(serializers.Serializer[Any]):
    """Swings of a freed hammer, as they were counted and as passes through the bottom."""

    swings = QuantityField()
    swings_counted = serializers.ChoiceField(source="counted", choices=SwingsCounted.choices)
    passes = QuantityField()
    judgement = JudgementOutput(allow_null=True)


class CentreOutput(serializers.Serializer[Any]):
    """What was measured of one finding's centre.

    A judgement is null when no range fits: friction needs a finding that names its component, by
    itself or by its cause, and ranges published without a radius judge nothing.
    """

    finding = serializers.IntegerField(source="finding.pk")
    note_midi = serializers.IntegerField(source="finding.note_midi", allow_null=True)
    note = MidiNoteField(source="finding.note_midi", allow_null=True)
    component = serializers.CharField(
        source="finding.component.code", default=None, allow_null=True
    )
    friction = FrictionOutput(allow_null=True)
    swings = SwingsOutput(allow_null=True)
    pin_diameter_um = serializers.IntegerField(allow_null=True)
    pin_could_be = PinSizeOutput(source="could_be", many=True)


class CentresOutput(serializers.Serializer[Any]):
    """The centres measured in an examination, by note."""

    examination = serializers.IntegerField()
    centres = CentreOutput(many=True)
    formula = FormulaOutput(default=STANDARD_GRAVITY)


class ExaminationCentresViewSet(ShopViewSet):
    """What was measured of an examination's action centres."""

    model = Examination
    roles = grants(read=EVERYONE)

    def rows(self) -> QuerySet[Examination]:
        """Return the examinations: everybody in the shop may see them."""
        return examinations_with_instrument()

    @report(gives=CentresOutput, of_one=True, example=CENTRES)
    def centres(self) -> Response:
        """Return friction as torque, swings by one convention, and the sizes of the pins found."""
        examination = self.found()
        found = {"examination": examination.pk, "centres": centres_of(examination)}
        return self.shown(found)
