"""Measured values as flat columns, the same in JSON and in a sheet; units stand in their names."""

from typing import Any

from rest_framework import serializers

from diagnostics.actions.findings import MeasuredValue
from diagnostics.models import BELIEVABLE, Quantity, SwingsCounted
from shop.http.amounts import QuantityField
from shop.http.serializers import StrictSerializer

RADIUS, CONVENTION = "friction_radius_mm", "swings_counted"
MEASURED_FIELDS = (
    *("friction_g", RADIUS, "swings", CONVENTION, "down_weight_g", "up_weight_g"),
    *("key_friction_g", "key_dip_mm", "pin_diameter_um"),
)
# What a value needs beside it, and what is said when one of the two is missing.
COMPANIONS = {
    Quantity.FRICTION_G: (
        RADIUS,
        "radius-missing",
        "Grams of friction and the radius in mm at which they were measured go together.",
    ),
    Quantity.SWINGS: (
        CONVENTION,
        "swing-count-missing",
        "Swings and how they were counted, passes or full_cycles, go together.",
    ),
}


def measure_field(quantity: Quantity) -> serializers.DecimalField:
    """Return the column of a quantity, within what an instrument can give."""
    lowest, highest = BELIEVABLE[quantity]
    return serializers.DecimalField(
        max_digits=8,
        decimal_places=2,
        min_value=lowest,
        max_value=highest,
        required=False,
        allow_null=True,
        help_text=quantity.label,
    )


class MeasuredInput(StrictSerializer):
    """The columns of measured values, each of which may be left out."""

    friction_g = measure_field(Quantity.FRICTION_G)
    friction_radius_mm = serializers.DecimalField(
        max_digits=5,
        decimal_places=1,
        min_value=1,
        max_value=300,
        required=False,
        allow_null=True,
        help_text="Where the friction was measured: millimetres from the pin.",
    )
    swings = measure_field(Quantity.SWINGS)
    swings_counted = serializers.ChoiceField(
        choices=SwingsCounted.choices, required=False, allow_null=True
    )
    down_weight_g = measure_field(Quantity.DOWN_WEIGHT_G)
    up_weight_g = measure_field(Quantity.UP_WEIGHT_G)
    key_friction_g = measure_field(Quantity.KEY_FRICTION_G)
    key_dip_mm = measure_field(Quantity.KEY_DIP_MM)
    pin_diameter_um = measure_field(Quantity.PIN_DIAMETER_UM)

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        """Return the values; a value that says nothing without its companion has it.

        Raises:
            ValidationError: pointing at the column that is missing.
        """
        errors = {}
        for quantity, (companion, code, sentence) in COMPANIONS.items():
            missing = [name for name in (quantity, companion) if attrs.get(name) is None]
            if len(missing) == 1:
                errors[str(missing[0])] = serializers.ErrorDetail(sentence, code)
        if errors:
            raise serializers.ValidationError(errors)
        return attrs


def measured_values(values: dict[str, Any]) -> tuple[MeasuredValue, ...]:
    """Take the measured columns out of `values` and return what was measured."""
    columns = {name: values.pop(name, None) for name in MEASURED_FIELDS}
    return tuple(
        MeasuredValue(
            quantity=quantity,
            value=columns[quantity],
            radius_mm=columns[RADIUS] if quantity == Quantity.FRICTION_G else None,
            swings_counted=columns[CONVENTION] if quantity == Quantity.SWINGS else "",
        )
        for quantity in Quantity
        if columns[quantity] is not None
    )


def _of_measurement(finding: Any, quantity: str, attribute: str) -> Any:
    for measurement in finding.measurements.all():
        if measurement.quantity == quantity:
            return getattr(measurement, attribute)
    return None


class MeasuredField(QuantityField):
    """A number of a finding's measurement, null when it was not measured."""

    def __init__(self, quantity: Quantity, attribute: str = "value") -> None:
        super().__init__(read_only=True, allow_null=True, help_text=quantity.label)
        self.quantity, self.attribute = quantity, attribute

    def get_attribute(self, instance: Any) -> Any:
        """Return the number, of the measurements that were fetched with the finding."""
        return _of_measurement(instance, self.quantity, self.attribute)


class SwingsCountedField(serializers.ChoiceField):
    """How a finding's swings were counted, null when they were not."""

    def __init__(self) -> None:
        super().__init__(choices=SwingsCounted.choices, read_only=True, allow_null=True)

    def get_attribute(self, instance: Any) -> Any:
        """Return the convention."""
        return _of_measurement(instance, Quantity.SWINGS, "swings_counted")
