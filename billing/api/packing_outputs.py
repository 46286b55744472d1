"""What is answered about packing and loading a van."""

from typing import Any

from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from billing.actions.packing import Loaded
from billing.models import QuoteStatus
from diagnostics.rules.pin_kit import MOST_WEIGHT, PRIOR_WEIGHT
from shop.http.amounts import QuantityField, RoundedQuantityField
from shop.http.serializers import InstantField
from shop.http.traced import ChanceField, FormulaOutput
from shop.models import Action, Unit


class PartQuantityOutput(serializers.Serializer[Any]):
    """How much of a part, in its unit."""

    part = serializers.CharField(source="code")
    name = serializers.CharField()
    unit = serializers.ChoiceField(Unit.choices)
    quantity = QuantityField()


class PackedBagOutput(serializers.Serializer[Any]):
    """The job bag of an open quote, which is carried as it is, and what is short in it."""

    quote = serializers.IntegerField()
    status = serializers.ChoiceField(QuoteStatus.choices)
    approval_chance = QuantityField(help_text="1 for what is approved already.")
    bag = serializers.IntegerField()
    name = serializers.CharField()
    short = PartQuantityOutput(many=True)


class PianoVisitedOutput(serializers.Serializer[Any]):
    """A piano and its job bags; `centres` take a pin whose size shows at the bench.

    Without an open quote they are those of its last examination, unless that was quoted or worked
    on.
    """

    instrument = serializers.IntegerField()
    name = serializers.CharField()
    action = serializers.ChoiceField(Action.choices)
    centres = serializers.IntegerField()
    bags = PackedBagOutput(many=True)


class StopOutput(serializers.Serializer[Any]):
    """A visit and the pianos of its site."""

    visit = serializers.IntegerField()
    starts_at = InstantField()
    ends_at = InstantField()
    technician = serializers.IntegerField()
    client = serializers.CharField()
    site = serializers.CharField()
    purpose = serializers.CharField()
    pianos = PianoVisitedOutput(many=True)


class PackedPartOutput(serializers.Serializer[Any]):
    """A part, in its unit: in the job bags and short in them, needed beside them, and where it is.

    `likely_pins` is how many all the pianos together are likely to take, of centre pins alone.
    """

    part = serializers.CharField(source="code")
    name = serializers.CharField()
    unit = serializers.ChoiceField(Unit.choices)
    in_approved_bags = QuantityField(source="bags.in_approved")
    in_offered_bags = QuantityField(source="bags.in_offered")
    short_in_approved_bags = QuantityField(source="bags.short_in_approved")
    short_in_offered_bags = QuantityField(source="bags.short_in_offered")
    likely_pins = QuantityField(source="pins")
    needed_quantity = QuantityField(source="needed")
    in_van_quantity = QuantityField(source="in_van")
    on_shelf_quantity = QuantityField(source="on_shelf")
    to_load_quantity = QuantityField(source="to_load")
    short_quantity = QuantityField(source="short")


class PinSizeToTakeOutput(serializers.Serializer[Any]):
    """How many pins of a size to take; `part` is empty when the shop keeps none."""

    size = serializers.CharField(source="label")
    diameter_um = serializers.IntegerField()
    count = serializers.IntegerField()
    part = serializers.CharField()


class PinSizeKnownOutput(serializers.Serializer[Any]):
    """What is known of a size in one kind of action, and what that comes to, in pins."""

    action = serializers.ChoiceField(Action.choices)
    size = serializers.CharField(source="label")
    share = QuantityField(help_text="How often the catalogue expects it.")
    fitted = serializers.IntegerField(help_text="How many the shop fitted in this kind of action.")
    weight_pins = RoundedQuantityField(source="weight")


class PinsToTakeOutput(serializers.Serializer[Any]):
    """The pins for centres of unknown size in all the pianos together, and what they rest on.

    `coverage` is the chance that no size runs out; unless it `is_exact`, it is no lower than that.
    """

    centres = serializers.IntegerField()
    confidence = QuantityField(help_text="A setting of the shop.")
    coverage = ChanceField()
    is_exact = serializers.BooleanField()
    sizes = PinSizeToTakeOutput(many=True)
    known = PinSizeKnownOutput(many=True)
    prior_weight_pins = serializers.IntegerField(
        default=PRIOR_WEIGHT, help_text="What the catalogue's shares weigh (estimate)."
    )
    most_weight_pins = serializers.IntegerField(
        default=MOST_WEIGHT, help_text="What all knowledge weighs at most (estimate)."
    )


class PackingListOutput(serializers.Serializer[Any]):
    """What a van takes along, with what it rests on.

    What an offered quote wants counts in full; how likely it is approved stands beside it.
    """

    place = serializers.IntegerField(source="van")
    from_place = serializers.IntegerField(source="shelf")
    starts_on = serializers.DateField()
    ends_on = serializers.DateField()
    technician = serializers.IntegerField(allow_null=True)
    approval_chance = QuantityField(help_text="How often an offered quote is approved.")
    visits = StopOutput(source="stops", many=True)
    parts = PackedPartOutput(many=True)
    pins = PinsToTakeOutput()
    formulas = FormulaOutput(many=True)


class LoadedOutput(serializers.Serializer[Any]):
    """What was moved into the van, by which moves, and what is still short."""

    place = serializers.IntegerField(source="packing.van")
    from_place = serializers.IntegerField(source="packing.shelf")
    loaded = serializers.SerializerMethodField()
    short = serializers.SerializerMethodField()
    moves = serializers.SerializerMethodField(help_text="Their ids, in the order of the parts.")

    @extend_schema_field(PartQuantityOutput(many=True))
    def get_loaded(self, loaded: Loaded) -> Any:
        """Return what was moved."""
        return _quantities(loaded, "to_load")

    @extend_schema_field(PartQuantityOutput(many=True))
    def get_short(self, loaded: Loaded) -> Any:
        """Return what is needed and neither in the bags nor in the van now."""
        return _quantities(loaded, "short")

    def get_moves(self, loaded: Loaded) -> list[int]:
        """Return the keys of the moves."""
        return [move.pk for move in loaded.moves]


def _quantities(loaded: Loaded, column: str) -> Any:
    """Return the parts of which there is something in a column of the list, with how much."""
    rows = [
        {"code": part.code, "name": part.name, "unit": part.unit, "quantity": quantity}
        for part in loaded.packing.parts
        if (quantity := getattr(part, column))
    ]
    return PartQuantityOutput(rows, many=True).data
