"""What was really done and fitted."""

from typing import ClassVar

import pgtrigger
from django.conf import settings
from django.db import models
from django.db.models import Q

from diagnostics.models.catalogue import Remedy
from diagnostics.models.causes import Cause
from diagnostics.models.examinations import Examination
from diagnostics.models.findings import Finding
from diagnostics.models.guards import fits_action, note_in_compass
from shop.models import Part, Place
from shop.models.guards import Guard


class WorkResult(models.TextChoices):
    """How the note was after the work."""

    CURED = "cured", "Cured"
    IMPROVED = "improved", "Improved"
    UNCHANGED = "unchanged", "Unchanged"


JOB_CLOSED = "The job is closed; its bench work stands as it is."


class BenchWork(models.Model):
    """A remedy done on one note, or on the whole instrument when `note_midi` is null.

    The parts fitted come out of `bag`, the job bag of the quote that the work was promised in.
    """

    examination = models.ForeignKey(
        Examination, on_delete=models.PROTECT, related_name="bench_work"
    )
    bag = models.ForeignKey(Place, on_delete=models.PROTECT, related_name="bench_work")
    finding = models.ForeignKey(
        Finding, on_delete=models.PROTECT, related_name="bench_work", null=True, blank=True
    )
    note_midi = models.PositiveSmallIntegerField(null=True, blank=True)
    remedy = models.ForeignKey(Remedy, on_delete=models.PROTECT, related_name="bench_work")
    cause_found = models.ForeignKey(
        Cause, on_delete=models.PROTECT, related_name="bench_work", null=True, blank=True
    )
    minutes = models.DecimalField(max_digits=5, decimal_places=1)
    result = models.CharField(max_length=10, choices=WorkResult)
    comment = models.TextField(blank=True)
    done_at = models.DateTimeField()
    done_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="bench_work"
    )

    class Meta:
        verbose_name_plural = "bench work"
        constraints: ClassVar = [
            models.CheckConstraint(
                name="diagnostics_benchwork_result_known",
                condition=Q(result__in=WorkResult.values),
                violation_error_code="result-unknown",
                violation_error_message="A result is cured, improved or unchanged.",
            ),
            models.CheckConstraint(
                name="diagnostics_benchwork_minutes_sensible",
                condition=Q(minutes__gte=0, minutes__lte=1440),
                violation_error_code="minutes-absurd",
                violation_error_message="Work takes 0 to 1440 minutes.",
            ),
        ]
        triggers: ClassVar = [
            note_in_compass("diagnostics_benchwork"),
            fits_action(
                "diagnostics_benchwork",
                {"remedy_id": "diagnostics_remedy", "cause_found_id": "diagnostics_cause"},
            ),
            Guard(
                name="diagnostics_benchwork_own_finding",
                code="finding-of-another-examination",
                message="The finding belongs to another examination.",
                operation=pgtrigger.Insert | pgtrigger.Update,
                refuse_when=(
                    "NEW.finding_id IS NOT NULL AND NOT EXISTS (SELECT FROM diagnostics_finding"
                    " WHERE id = NEW.finding_id AND examination_id = NEW.examination_id)"
                ),
            ),
            Guard(
                name="diagnostics_benchwork_bag_open",
                code="bag-closed",
                message=JOB_CLOSED,
                operation=pgtrigger.Insert | pgtrigger.Update | pgtrigger.Delete,
                refuse_when=(
                    "EXISTS (SELECT FROM shop_place WHERE id IN ("
                    "CASE WHEN TG_OP <> 'INSERT' THEN OLD.bag_id END,"
                    " CASE WHEN TG_OP <> 'DELETE' THEN NEW.bag_id END)"
                    " AND NOT (kind = 'bag' AND is_active))"
                ),
            ),
        ]

    def __str__(self) -> str:
        return f"remedy {self.remedy_id} on {self.note_midi or 'the instrument'}"


class FittedPart(models.Model):
    """How much of a part went into the piano."""

    bench_work = models.ForeignKey(BenchWork, on_delete=models.CASCADE, related_name="fitted_parts")
    part = models.ForeignKey(Part, on_delete=models.PROTECT, related_name="fitted")
    quantity = models.DecimalField(max_digits=10, decimal_places=3)

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(
                name="diagnostics_fittedpart_quantity_positive",
                condition=Q(quantity__gt=0),
                violation_error_code="quantity-not-positive",
                violation_error_message="What is fitted is more than nothing.",
            ),
            models.UniqueConstraint(
                name="diagnostics_fittedpart_once",
                fields=["bench_work", "part"],
                violation_error_code="part-named-twice",
                violation_error_message="Bench work names each part once.",
            ),
        ]
        triggers: ClassVar = [
            Guard(
                name="diagnostics_fittedpart_bag_open",
                code="bag-closed",
                message=JOB_CLOSED,
                operation=pgtrigger.Insert | pgtrigger.Update | pgtrigger.Delete,
                refuse_when=(
                    "EXISTS (SELECT FROM diagnostics_benchwork AS work"
                    " JOIN shop_place AS bag ON bag.id = work.bag_id WHERE work.id IN ("
                    "CASE WHEN TG_OP <> 'INSERT' THEN OLD.bench_work_id END,"
                    " CASE WHEN TG_OP <> 'DELETE' THEN NEW.bench_work_id END)"
                    " AND NOT bag.is_active)"
                ),
            ),
            Guard(
                name="diagnostics_fittedpart_in_bag",
                code="not-in-bag",
                message="The job bag does not hold that much of this part.",
                when=pgtrigger.After,
                operation=pgtrigger.Insert | pgtrigger.Update,
                declare=[("in_bag", "numeric"), ("fitted", "numeric"), ("the_bag", "bigint")],
                # The level is locked, so that two people cannot fit the same last pin.
                before_check="""
                    SELECT bag_id INTO the_bag
                        FROM diagnostics_benchwork WHERE id = NEW.bench_work_id;
                    SELECT quantity INTO in_bag FROM shop_level
                        WHERE place_id = the_bag AND part_id = NEW.part_id FOR UPDATE;
                    SELECT sum(fitted_part.quantity) INTO fitted
                        FROM diagnostics_fittedpart AS fitted_part
                        JOIN diagnostics_benchwork AS work ON work.id = fitted_part.bench_work_id
                        WHERE work.bag_id = the_bag AND fitted_part.part_id = NEW.part_id;
                """,
                refuse_when="fitted > COALESCE(in_bag, 0)",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} of part {self.part_id}"
