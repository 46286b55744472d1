"""What an answer says of a room; computed numbers are rounded to what they deserve."""

from typing import Any

from rest_framework import serializers

from diagnostics.api.fields import FormulaOutput, RoundedField
from diagnostics.rules.room import AIR_FORMULAS, RoomState
from shop.http.serializers import InstantField

STATES = [(state.value, state.value) for state in RoomState]


class AirOutput(serializers.Serializer[Any]):
    """Air, and the moisture content that wood settles at in it.

    It `is_extrapolated` where the air lies outside the table that the equation was made from.
    """

    temperature_c = RoundedField(1)
    humidity_percent = RoundedField(1)
    moisture_percent = RoundedField(1)
    dew_point_c = RoundedField(1)
    absolute_humidity_g_m3 = RoundedField(1)
    is_extrapolated = serializers.BooleanField()


class AirReadOutput(AirOutput):
    """The means of a day, at the time of its last reading."""

    taken_at = InstantField()


class RoomDayOutput(serializers.Serializer[Any]):
    """A day: the means of its readings, and between what they lie."""

    on = serializers.DateField()
    readings_count = serializers.IntegerField()
    mean = AirOutput()
    lowest_temperature_c = RoundedField(1)
    highest_temperature_c = RoundedField(1)
    lowest_humidity_percent = RoundedField(1)
    highest_humidity_percent = RoundedField(1)


class HumidityLimitsOutput(serializers.Serializer[Any]):
    """The shop's settings, since published advice differs."""

    target_percent = RoundedField(1)
    lowest_percent = RoundedField(1)
    highest_percent = RoundedField(1)


class RoomEvidenceOutput(serializers.Serializer[Any]):
    """The numbers behind a verdict: the newest day, and the ends of the last 42 days."""

    now = AirReadOutput()
    dryest = AirReadOutput()
    dampest = AirReadOutput()
    target_moisture_percent = RoundedField(1)
    above_target_percent = RoundedField(1, help_text="Points of moisture content.")
    rise_percent = RoundedField(1, help_text="Points of moisture content above the dryest.")


class RoomVerdictOutput(serializers.Serializer[Any]):
    """Whether the room explains tight cloth and wood; `evidence` is null while it is unknown."""

    state = serializers.ChoiceField(choices=STATES)
    explains_tight_cloth = serializers.BooleanField()
    sentence = serializers.CharField()
    at = InstantField()
    days_count = serializers.IntegerField(source="readings_count")
    evidence = RoomEvidenceOutput(allow_null=True)
    formulas = FormulaOutput(many=True)


class MovementOutput(serializers.Serializer[Any]):
    """How much a width grows, below nought shrinks.

    It `is_extrapolated` where a moisture content lies outside 6 to 14 %.
    """

    change_mm = RoundedField(3)
    is_extrapolated = serializers.BooleanField()
    formula = FormulaOutput()


class WoodChangeOutput(serializers.Serializer[Any]):
    """What a width does between two moisture contents."""

    between = serializers.CharField()
    from_percent = RoundedField(1)
    to_percent = RoundedField(1)
    radial = MovementOutput()
    tangential = MovementOutput()


class WoodMovementOutput(serializers.Serializer[Any]):
    """How far a piece of wood moves; of mixed grain, as in a piano, about between the two."""

    species = serializers.CharField(source="species.code")
    name = serializers.CharField(source="species.name")
    provenance = serializers.CharField(source="species.provenance")
    source = serializers.CharField(source="species.source")  # type: ignore[assignment]
    width_mm = RoundedField(1)
    changes = WoodChangeOutput(many=True)


class WantedHumidityOutput(serializers.Serializer[Any]):
    """The humidity that gives wood the moisture content asked for, at the present temperature."""

    moisture_percent = RoundedField(1)
    temperature_c = RoundedField(1)
    humidity_percent = RoundedField(1)
    formula = FormulaOutput()


class RoomOutput(serializers.Serializer[Any]):
    """A room: its days, what the shop aims at, and whether it explains tight cloth and wood."""

    instrument = serializers.IntegerField(source="instrument.pk")
    place = serializers.CharField()
    since = serializers.DateField()
    until = serializers.DateField()
    limits = HumidityLimitsOutput()
    verdict = RoomVerdictOutput()
    days = RoomDayOutput(many=True)
    movement = WoodMovementOutput(allow_null=True)
    wanted = WantedHumidityOutput(allow_null=True)
    formulas = FormulaOutput(many=True, default=AIR_FORMULAS)
