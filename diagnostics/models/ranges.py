"""Between what values a measured quantity should lie: data, since the trade disagrees."""

from decimal import Decimal
from typing import ClassVar

from django.db import models
from django.db.models import F, Q

from diagnostics.models.catalogue import ActionRow, Component
from diagnostics.models.findings import SwingsCounted
from diagnostics.models.quantities import Quantity
from diagnostics.rules.sections import Section


class RangedQuantity(models.TextChoices):
    """What a range is of: a quantity that is measured, or one that two of them give."""

    FRICTION_G = Quantity.FRICTION_G.value, Quantity.FRICTION_G.label
    SWINGS = Quantity.SWINGS.value, Quantity.SWINGS.label
    DOWN_WEIGHT_G = Quantity.DOWN_WEIGHT_G.value, Quantity.DOWN_WEIGHT_G.label
    UP_WEIGHT_G = Quantity.UP_WEIGHT_G.value, Quantity.UP_WEIGHT_G.label
    BALANCE_WEIGHT_G = "balance_weight_g", "Balance weight: half of down and up weight together"
    TOUCH_FRICTION_G = "touch_friction_g", "Friction of the whole note, grams at the key's front"
    KEY_FRICTION_G = Quantity.KEY_FRICTION_G.value, Quantity.KEY_FRICTION_G.label
    KEY_DIP_MM = Quantity.KEY_DIP_MM.value, Quantity.KEY_DIP_MM.label


class Register(models.TextChoices):
    """The part of the keyboard that a range holds for."""

    WHOLE = "whole", "The whole keyboard"
    BASS = Section.BASS.value, "Bass"
    TENOR = Section.TENOR.value, "Tenor"
    TREBLE = Section.TREBLE.value, "Treble"


def bound_field() -> "models.DecimalField[Decimal | float | str | None, Decimal | None]":
    """Return a column for one end of a range, null when the range is open there."""
    return models.DecimalField(max_digits=8, decimal_places=2, null=True, blank=True)


class MeasuredRange(ActionRow):
    """A range of a quantity, in the unit that its word ends in; a missing end is open.

    Where `judges`, a value outside is called low or high; the other ranges are shown beside it.
    Friction of a flange is grams at `radius_mm` from the pin: a range without a radius was
    published without one, and judges nothing. `component` is empty for the note as a whole.
    """

    quantity = models.CharField(max_length=20, choices=RangedQuantity)
    component = models.ForeignKey(
        Component, on_delete=models.PROTECT, related_name="measured_ranges", null=True, blank=True
    )
    section = models.CharField(max_length=10, choices=Register, default=Register.WHOLE)
    low = bound_field()
    high = bound_field()
    radius_mm = models.DecimalField(max_digits=5, decimal_places=1, null=True, blank=True)
    swings_counted = models.CharField(max_length=20, choices=SwingsCounted, blank=True)
    judges = models.BooleanField(default=False)

    class Meta(ActionRow.Meta):
        constraints: ClassVar = [
            *ActionRow.Meta.constraints,
            models.CheckConstraint(
                name="diagnostics_measuredrange_quantity_known",
                condition=Q(quantity__in=RangedQuantity.values),
                violation_error_code="quantity-unknown",
                violation_error_message="A range is of a quantity that is measured or derived.",
            ),
            models.CheckConstraint(
                name="diagnostics_measuredrange_section_known",
                condition=Q(section__in=Register.values),
                violation_error_code="section-unknown",
                violation_error_message="A section is whole, bass, tenor or treble.",
            ),
            models.CheckConstraint(
                name="diagnostics_measuredrange_ends_ordered",
                condition=Q(low__isnull=False, low__gte=0, high__isnull=True)
                | Q(low__isnull=True, high__isnull=False, high__gte=0)
                | Q(low__isnull=False, high__isnull=False, low__gte=0, low__lte=F("high")),
                violation_error_code="range-disordered",
                violation_error_message="A range has a low end, a high end or both, from 0 up.",
            ),
            models.CheckConstraint(
                name="diagnostics_measuredrange_radius",
                condition=Q(
                    quantity=RangedQuantity.FRICTION_G,
                    radius_mm__isnull=False,
                    radius_mm__range=(1, 300),
                )
                | Q(quantity=RangedQuantity.FRICTION_G, radius_mm__isnull=True, judges=False)
                | Q(~Q(quantity=RangedQuantity.FRICTION_G), radius_mm__isnull=True),
                violation_error_code="radius-missing",
                violation_error_message=(
                    "Flange friction alone has a radius, 1 to 300 mm; without it nothing is judged."
                ),
            ),
            models.CheckConstraint(
                name="diagnostics_measuredrange_swings_counted",
                condition=Q(quantity=RangedQuantity.SWINGS, swings_counted__in=SwingsCounted.values)
                | Q(~Q(quantity=RangedQuantity.SWINGS), swings_counted=""),
                violation_error_code="swing-count-missing",
                violation_error_message=(
                    "Swings say how they were counted: passes or full_cycles; nothing else does."
                ),
            ),
        ]
