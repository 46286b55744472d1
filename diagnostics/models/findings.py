"""What a technician found: results of checks, findings, and what was measured."""

from typing import ClassVar

import pghistory
from django.db import models
from django.db.models import Q

from diagnostics.models.catalogue import Check, Component, Fault, Remedy
from diagnostics.models.causes import Cause
from diagnostics.models.examinations import Examination
from diagnostics.models.guards import fits_action, note_in_compass
from diagnostics.models.quantities import Quantity


class Outcome(models.TextChoices):
    """What a check showed."""

    POSITIVE = "positive", "Shows the fault"
    NEGATIVE = "negative", "Does not show it"
    UNCLEAR = "unclear", "Unclear"


class CheckResult(models.Model):
    """What one check showed, on one note or on the whole instrument."""

    examination = models.ForeignKey(
        Examination, on_delete=models.CASCADE, related_name="check_results"
    )
    check_made = models.ForeignKey(Check, on_delete=models.PROTECT, related_name="results")
    note_midi = models.PositiveSmallIntegerField(null=True, blank=True)
    outcome = models.CharField(max_length=10, choices=Outcome)
    comment = models.TextField(blank=True)

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(
                name="diagnostics_checkresult_outcome_known",
                condition=Q(outcome__in=Outcome.values),
                violation_error_code="outcome-unknown",
                violation_error_message="An outcome is positive, negative or unclear.",
            ),
            models.UniqueConstraint(
                name="diagnostics_checkresult_once",
                fields=["examination", "check_made", "note_midi"],
                nulls_distinct=False,
                violation_error_code="check-already-answered",
                violation_error_message="This check has a result on this note already.",
            ),
        ]
        triggers: ClassVar = [
            note_in_compass("diagnostics_checkresult"),
            fits_action("diagnostics_checkresult", {"check_made_id": "diagnostics_check"}),
        ]

    def __str__(self) -> str:
        return f"check {self.check_made_id}: {self.outcome}"


class Severity(models.TextChoices):
    """How much a fault troubles the player."""

    SLIGHT = "slight", "Noticed when looked for"
    MODERATE = "moderate", "Troubles the player"
    SEVERE = "severe", "The note cannot be played"


@pghistory.track(pghistory.InsertEvent(), pghistory.UpdateEvent(), pghistory.DeleteEvent())
class Finding(models.Model):
    """What one note, or the whole instrument when `note_midi` is null, does.

    Fault is what it does, component where, cause why, remedy what to do; the last three may be
    open.
    """

    examination = models.ForeignKey(Examination, on_delete=models.CASCADE, related_name="findings")
    note_midi = models.PositiveSmallIntegerField(null=True, blank=True)
    fault = models.ForeignKey(Fault, on_delete=models.PROTECT, related_name="findings")
    component = models.ForeignKey(
        Component, on_delete=models.PROTECT, related_name="findings", null=True, blank=True
    )
    cause = models.ForeignKey(
        Cause, on_delete=models.PROTECT, related_name="findings", null=True, blank=True
    )
    remedy = models.ForeignKey(
        Remedy, on_delete=models.PROTECT, related_name="findings", null=True, blank=True
    )
    severity = models.CharField(max_length=10, choices=Severity, default=Severity.MODERATE)
    comment = models.TextField(blank=True)

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(
                name="diagnostics_finding_severity_known",
                condition=Q(severity__in=Severity.values),
                violation_error_code="severity-unknown",
                violation_error_message="Severity is slight, moderate or severe.",
            ),
            models.UniqueConstraint(
                name="diagnostics_finding_once",
                fields=["examination", "note_midi", "fault", "component", "cause"],
                nulls_distinct=False,
                violation_error_code="finding-exists",
                violation_error_message="This fault is recorded on this note already.",
            ),
        ]
        triggers: ClassVar = [
            note_in_compass("diagnostics_finding"),
            fits_action(
                "diagnostics_finding",
                {
                    "fault_id": "diagnostics_fault",
                    "component_id": "diagnostics_component",
                    "cause_id": "diagnostics_cause",
                    "remedy_id": "diagnostics_remedy",
                },
            ),
        ]

    def __str__(self) -> str:
        return f"fault {self.fault_id} on {self.note_midi or 'the instrument'}"


class SwingsCounted(models.TextChoices):
    """How swings are counted: the same hammer gives twice as many passes as full cycles."""

    PASSES = "passes", "Each pass through the bottom"
    FULL_CYCLES = "full_cycles", "Each return to the same side"


BELIEVABLE = {
    Quantity.FRICTION_G: (0, 100),
    Quantity.SWINGS: (0, 60),
    Quantity.DOWN_WEIGHT_G: (0, 300),
    Quantity.UP_WEIGHT_G: (0, 300),
    Quantity.KEY_FRICTION_G: (0, 100),
    Quantity.KEY_DIP_MM: (0, 30),
    Quantity.PIN_DIAMETER_UM: (500, 3000),
}


def believable() -> Q:
    """Return the condition that each quantity lies in the range no instrument leaves."""
    condition = Q()
    for quantity, limits in BELIEVABLE.items():
        condition |= Q(quantity=quantity, value__range=limits)
    return condition


class Measurement(models.Model):
    """A measured value of a finding. Grams of friction mean nothing without their radius."""

    # Its index is that of the unique constraint below.
    finding = models.ForeignKey(
        Finding, on_delete=models.CASCADE, related_name="measurements", db_index=False
    )
    quantity = models.CharField(max_length=20, choices=Quantity)
    value = models.DecimalField(max_digits=8, decimal_places=2)
    radius_mm = models.DecimalField(max_digits=5, decimal_places=1, null=True, blank=True)
    swings_counted = models.CharField(max_length=20, choices=SwingsCounted, blank=True)

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(
                name="diagnostics_measurement_believable",
                condition=believable(),
                violation_error_code="measurement-absurd",
                violation_error_message="The value is negative or larger than any piano gives.",
            ),
            models.CheckConstraint(
                name="diagnostics_measurement_friction_radius",
                condition=Q(
                    quantity=Quantity.FRICTION_G,
                    radius_mm__isnull=False,
                    radius_mm__range=(1, 300),
                )
                | Q(~Q(quantity=Quantity.FRICTION_G), radius_mm__isnull=True),
                violation_error_code="radius-missing",
                violation_error_message="Flange friction alone has a radius: 1 to 300 mm.",
            ),
            models.CheckConstraint(
                name="diagnostics_measurement_swings_counted",
                condition=Q(quantity=Quantity.SWINGS, swings_counted__in=SwingsCounted.values)
                | Q(~Q(quantity=Quantity.SWINGS), swings_counted=""),
                violation_error_code="swing-count-missing",
                violation_error_message=(
                    "Swings say how they were counted: passes or full_cycles; nothing else does."
                ),
            ),
            models.UniqueConstraint(
                name="diagnostics_measurement_once",
                fields=["finding", "quantity"],
                violation_error_code="measured-twice",
                violation_error_message="A finding has each quantity once.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} {self.value}"
