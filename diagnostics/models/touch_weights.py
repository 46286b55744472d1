"""The weights of notes, also of those that nothing is wrong with."""

from decimal import Decimal
from typing import ClassVar

from django.db import models
from django.db.models import F, Q

from diagnostics.models.examinations import Examination
from diagnostics.models.findings import BELIEVABLE
from diagnostics.models.guards import note_in_compass
from diagnostics.models.quantities import Quantity

WEIGHTS = (
    Quantity.DOWN_WEIGHT_G.value,
    Quantity.UP_WEIGHT_G.value,
    Quantity.KEY_FRICTION_G.value,
)


def grams_field() -> "models.DecimalField[Decimal | float | str | None, Decimal | None]":
    """Return a column of grams that may not have been measured."""
    return models.DecimalField(max_digits=8, decimal_places=2, null=True, blank=True)


def believable_weights() -> Q:
    """Return the condition that each weight, where measured, is one that a piano can have."""
    condition = Q()
    for quantity in WEIGHTS:
        limits = {f"{quantity}__range": BELIEVABLE[Quantity(quantity)]}
        condition &= Q(**{f"{quantity}__isnull": True}) | Q(**limits)
    return condition


class TouchWeight(models.Model):
    """The weights of one note: a whole keyboard of them shows which notes are unlike the others."""

    examination = models.ForeignKey(
        Examination, on_delete=models.CASCADE, related_name="touch_weights"
    )
    note_midi = models.PositiveSmallIntegerField()
    down_weight_g = grams_field()
    up_weight_g = grams_field()
    key_friction_g = grams_field()

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(
                name="diagnostics_touchweight_measured",
                condition=Q(down_weight_g__isnull=False)
                | Q(up_weight_g__isnull=False)
                | Q(key_friction_g__isnull=False),
                violation_error_code="nothing-measured",
                violation_error_message="At least one weight of the note was measured.",
            ),
            models.CheckConstraint(
                name="diagnostics_touchweight_believable",
                condition=believable_weights(),
                violation_error_code="measurement-absurd",
                violation_error_message="The value is negative or larger than any piano gives.",
            ),
            models.CheckConstraint(
                name="diagnostics_touchweight_up_within_down",
                condition=Q(down_weight_g__isnull=True)
                | Q(up_weight_g__isnull=True)
                | Q(up_weight_g__lte=F("down_weight_g")),
                violation_error_code="weights-crossed",
                violation_error_message="A key lifts no more than what presses it down.",
            ),
            models.UniqueConstraint(
                name="diagnostics_touchweight_once",
                fields=["examination", "note_midi"],
                violation_error_code="note-weighed",
                violation_error_message="This note was weighed already in this examination.",
            ),
        ]
        triggers: ClassVar = [note_in_compass("diagnostics_touchweight")]

    def __str__(self) -> str:
        return f"weights of {self.note_midi}"
