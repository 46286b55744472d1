"""What is answered about the plans for an examination."""

from typing import Any

from rest_framework import serializers

from billing.api.quote_outputs import CautionOutput
from billing.models import QuotePlan
from diagnostics.rules.room import RoomState
from shop.http.amounts import AmountField, RoundedQuantityField
from shop.http.traced import ChanceField, FormulaOutput


class AdviceOutput(serializers.Serializer[Any]):
    """Which plan is advised, null until the room is measured, and why."""

    plan = serializers.ChoiceField(choices=QuotePlan.choices, allow_null=True)
    sentence = serializers.CharField()


class PlanCostOutput(serializers.Serializer[Any]):
    """What a plan costs before tax: what is expected, and where four jobs in five lie."""

    visits = serializers.IntegerField()
    net_expected = AmountField()
    net_low = AmountField(help_text="One job in ten costs less.")
    net_high = AmountField(help_text="One job in ten costs more.")


class RoomFirstOutput(PlanCostOutput):
    """Treating the room first, and what then waits for the second visit."""

    first_visit_net_expected = AmountField()
    cheaper_chance = ChanceField(help_text="How often it costs less than repairing now.")
    treated_by = serializers.ListField(child=serializers.CharField())
    notes_now = serializers.CharField(help_text="What is repaired in the first visit.")
    notes_waiting = serializers.CharField()
    notes_waiting_count = serializers.IntegerField()
    cured_expected = RoundedQuantityField(help_text="How many of those that wait.")
    cured_low = serializers.IntegerField(help_text="Fewer are cured in one room in ten at most.")
    cured_high = serializers.IntegerField(help_text="More are cured in one room in ten at most.")
    due_on = serializers.DateField(help_text="When to look again, if the room is treated today.")


class CodedOutput(serializers.Serializer[Any]):
    """A reason or a warning."""

    code = serializers.CharField()
    sentence = serializers.CharField()


class CureRateOutput(serializers.Serializer[Any]):
    """The share of notes that a treated room cures: the catalogue's, moved by follow-ups."""

    estimate = ChanceField(help_text="The catalogue's, on average over what waits.")
    estimate_weight = serializers.IntegerField(help_text="In faults followed up (estimate).")
    followed = serializers.IntegerField(help_text="Faults that the shop followed up.")
    cured = serializers.IntegerField()
    share = ChanceField(help_text="What both come to.")
    weight = RoundedQuantityField(help_text="In faults followed up.")
    most_weight = serializers.IntegerField(
        help_text="What all knowledge weighs at most, as the notes of a room are alike (estimate)."
    )


class RoomStateOutput(serializers.Serializer[Any]):
    """What the room was like at the examination."""

    state = serializers.ChoiceField(choices=[state.value for state in RoomState])
    sentence = serializers.CharField()


class PlansRestOnOutput(serializers.Serializer[Any]):
    """What the figures rest on; prices are those of the day, before tax."""

    room = RoomStateOutput()
    is_widespread = serializers.BooleanField()
    cure_rate = CureRateOutput(allow_null=True)
    hour = AmountField()
    travel = AmountField(help_text="Charged for each visit.")
    minimum = AmountField(help_text="What a visit costs at least.")
    settle_days = serializers.IntegerField(help_text="A setting of the shop.")
    settled_readings = serializers.IntegerField(
        help_text="How many of the newest two readings since the examination are in range."
    )
    settled_readings_wanted = serializers.IntegerField()
    undecided_count = serializers.IntegerField(help_text="Findings in neither plan.")


class PlansOutput(serializers.Serializer[Any]):
    """Both plans side by side; a `hindrance` says why treating the room first is none."""

    examination = serializers.IntegerField()
    currency = serializers.CharField()
    advice = AdviceOutput()
    now = PlanCostOutput()
    room_first = RoomFirstOutput(allow_null=True)
    hindrance = CodedOutput(allow_null=True)
    warnings = CodedOutput(many=True)
    rests_on = PlansRestOnOutput()
    cautions = CautionOutput(many=True)
    formulas = FormulaOutput(many=True)
