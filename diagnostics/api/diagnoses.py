"""What is behind the bad notes of an examination, with the reasons and what they rest on."""

from typing import Any

from django.db.models import QuerySet
from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers
from rest_framework.response import Response

from diagnostics.api.diagnosis_examples import DIAGNOSIS
from diagnostics.api.fields import ChanceField, FormulaOutput
from diagnostics.models import Examination, FaultFamily
from diagnostics.queries.diagnoses import ExaminationDiagnosis, examination_diagnosis
from diagnostics.queries.examinations import examinations_with_instrument
from diagnostics.rules.cause_figures import CAUSES_PER_NOTE, UNEXPLAINED_FAULT
from diagnostics.rules.causes import FORMULAS
from diagnostics.rules.diagnosis import CauseBelief, CauseOverall, NoteDiagnosis
from diagnostics.rules.keyboard import EVERY_NOTE
from diagnostics.rules.learning import CASES_BEHIND_SHARE, CASES_BEHIND_WEIGHTS
from diagnostics.rules.learning import FORMULAS as LEARNING_FORMULAS
from diagnostics.rules.note_names import notes_text
from diagnostics.rules.room import RoomState
from diagnostics.rules.spread import SpreadKind
from shop.http.permissions import EVERYONE, grants
from shop.http.serializers import InstantField
from shop.http.verbs import report
from shop.http.views import ShopViewSet

KINDS = [(each.value, each.value) for each in SpreadKind]
STATES = [(each.value, each.value) for each in RoomState]


class WeighedReasonOutput(serializers.Serializer[Any]):
    """What speaks for a cause (positive decibans) or against it (negative)."""

    said = serializers.CharField()
    decibans = serializers.FloatField()


class CauseBeliefOutput(serializers.Serializer[Any]):
    """How likely a cause is; the decibans of its reasons add up to its log odds."""

    cause = serializers.CharField(source="cause.code")
    name = serializers.CharField(source="cause.name")
    remedy = serializers.CharField(source="cause.remedy")
    probability = ChanceField()
    reasons = WeighedReasonOutput(many=True)


class NoteDiagnosisOutput(serializers.Serializer[Any]):
    """What is behind some notes of which the same was seen; without notes, behind the whole.

    A note can have two causes, so the probabilities need not add to one. `unknown` is that of
    nothing in the catalogue; `cured_by_room` that all that is behind the notes is of a kind which
    treating the room as it is now can cure.
    """

    notes = serializers.SerializerMethodField(help_text="In scientific naming.")
    notes_midi = serializers.SerializerMethodField()
    verdict = serializers.CharField()
    unknown = ChanceField()
    cured_by_room = ChanceField()
    likeliest = serializers.ListField(
        child=serializers.CharField(), help_text="The likeliest set of causes, by their codes."
    )
    likeliest_probability = ChanceField()
    causes = serializers.SerializerMethodField(help_text="The likely ones, likeliest first.")

    def get_notes(self, row: NoteDiagnosis | CauseOverall) -> str:
        """Return the notes as text."""
        return notes_text(self.get_notes_midi(row), EVERY_NOTE)

    def get_notes_midi(self, row: NoteDiagnosis | CauseOverall) -> list[int]:
        """Return the notes as MIDI numbers."""
        return [midi for midi in row.notes if midi is not None]

    @extend_schema_field(CauseBeliefOutput(many=True))
    def get_causes(self, row: NoteDiagnosis) -> list[dict[str, Any]]:
        """Return the causes; written out by hand, since there are thousands of reasons."""
        return [_belief(belief) for belief in row.causes]


def _belief(belief: CauseBelief) -> dict[str, Any]:
    return {
        "cause": belief.cause.code,
        "name": belief.cause.name,
        "remedy": belief.cause.remedy,
        "probability": round(belief.probability, 4),
        "reasons": [
            {"said": reason.said, "decibans": round(reason.decibans, 1)}
            for reason in belief.reasons
        ],
    }


class CauseOverallOutput(serializers.Serializer[Any]):
    """A cause over all bad notes: on how many of them it is expected, and where it is likely."""

    cause = serializers.CharField(source="cause.code")
    name = serializers.CharField(source="cause.name")
    remedy = serializers.CharField(source="cause.remedy")
    expected_notes = serializers.SerializerMethodField()
    notes = serializers.SerializerMethodField()

    def get_expected_notes(self, row: CauseOverall) -> float:
        """Return on how many notes the cause is expected, to two decimals."""
        return round(row.expected_notes, 2)

    def get_notes(self, row: CauseOverall) -> str:
        """Return the notes as text."""
        return notes_text([midi for midi in row.notes if midi is not None], EVERY_NOTE)


class DiagnosisSpreadOutput(serializers.Serializer[Any]):
    """Where the faults of a family stand on the notes examined."""

    family = serializers.ChoiceField(choices=FaultFamily.choices)
    kind = serializers.ChoiceField(choices=KINDS)
    sentence = serializers.CharField()


class DiagnosisRoomOutput(serializers.Serializer[Any]):
    """What the room was like when the instrument was examined."""

    state = serializers.ChoiceField(choices=STATES)
    sentence = serializers.CharField()
    readings_count = serializers.IntegerField()


class RestsOnOutput(serializers.Serializer[Any]):
    """What a diagnosis rests on.

    The catalogue's figures are estimates. `cases` are the shop's own in this kind of action since
    `learnt_since` (ever, when it is null); they moved the figures, the catalogue's weighing as much
    as `cases_behind_weights` of them for causes and `cases_behind_share` for each sign.
    """

    findings_count = serializers.IntegerField()
    check_results_count = serializers.IntegerField()
    complaint = serializers.CharField(source="seen.complaint")
    age_years = serializers.IntegerField(source="seen.age_years", allow_null=True)
    cases = serializers.IntegerField()
    learnt_since = InstantField(allow_null=True)
    cases_behind_weights = serializers.FloatField(default=CASES_BEHIND_WEIGHTS)
    cases_behind_share = serializers.FloatField(default=CASES_BEHIND_SHARE)
    causes_per_note = serializers.FloatField(default=CAUSES_PER_NOTE, help_text="An estimate.")
    unexplained_fault = serializers.FloatField(
        default=UNEXPLAINED_FAULT,
        help_text="How often a fault is found without a known cause: an estimate.",
    )


class DiagnosisOutput(serializers.Serializer[Any]):
    """What is behind the bad notes, and whether the room should be treated first."""

    examination = serializers.IntegerField(source="examination.pk")
    verdict = serializers.CharField(source="diagnosis.verdict")
    treats_room_first = serializers.BooleanField(source="diagnosis.treats_room_first")
    cured_by_room = ChanceField(source="diagnosis.cured_by_room")
    room = DiagnosisRoomOutput()
    spreads = serializers.SerializerMethodField()
    causes = CauseOverallOutput(source="diagnosis.causes", many=True)
    notes = NoteDiagnosisOutput(source="diagnosis.notes", many=True)
    rests_on = RestsOnOutput(source="*")
    formulas = FormulaOutput(many=True, default=(*FORMULAS, *LEARNING_FORMULAS))

    @extend_schema_field(DiagnosisSpreadOutput(many=True))
    def get_spreads(self, row: ExaminationDiagnosis) -> list[dict[str, Any]]:
        """Return where each family of faults stands."""
        return [
            {"family": family, "kind": found.kind, "sentence": found.sentence}
            for family, found in sorted(row.spreads.items())
        ]


class ExaminationDiagnosisViewSet(ShopViewSet):
    """The diagnosis of an examination."""

    model = Examination
    roles = grants(read=EVERYONE)
    output = DiagnosisOutput

    def rows(self) -> QuerySet[Examination]:
        """Return the examinations: everybody in the shop may see them."""
        return examinations_with_instrument()

    @report(gives=DiagnosisOutput, of_one=True, example=DIAGNOSIS)
    def diagnosis(self) -> Response:
        """Return what is behind each bad note and behind them all, likeliest first, with reasons.

        The notes are taken one by one; what joins them is the spread, the room and the checks of
        the whole instrument.
        """
        return self.shown(examination_diagnosis(self.found()))
