"""What the stock moves of each week add up to, so that no report reads the whole ledger.

Weeks are those of ISO 8601 in UTC, named by their Monday: a week is then the same whatever time
zone a connection has. What was used has a row for 52 of them, since the reports that look back on
it read so many weeks of every part.
"""

from typing import ClassVar

from django.contrib.postgres.fields import ArrayField
from django.db import models
from django.db.models import F, Func, Q

from shop.models.levels import kept_by_ledger
from shop.models.parts import Part
from shop.models.stock import OUTSIDE_KINDS, PlaceKind
from shop.models.sums import YEAR_OF
from shop.rules.weeks import WEEKS_TOGETHER

MONDAY = 1


def on_monday(model: str) -> models.CheckConstraint:
    """Return the check that a row of `model` is named by its week's first day."""
    return models.CheckConstraint(
        name=f"{model}_on_monday",
        condition=Q(starts_on__iso_week_day=MONDAY),
        violation_error_code="week-day-wrong",
        violation_error_message="A week starts on Monday.",
    )


class WeeklyFlow(models.Model):
    """What came of a part from one kind of place outside in a week, and what went there.

    Kept by the ledger's trigger, in the part's unit and at cost.
    """

    # Its index is that of the unique constraint below.
    part = models.ForeignKey(Part, on_delete=models.PROTECT, related_name="flows", db_index=False)
    kind = models.CharField(max_length=20, choices=PlaceKind)
    starts_on = models.DateField()
    in_quantity = models.DecimalField(max_digits=14, decimal_places=3)
    in_value = models.DecimalField(max_digits=14, decimal_places=3)
    out_quantity = models.DecimalField(max_digits=14, decimal_places=3)
    out_value = models.DecimalField(max_digits=14, decimal_places=3)

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(
                name="shop_weeklyflow_one_per_week",
                # In this order, since reports read the latest weeks of one kind, over all parts.
                fields=["kind", "starts_on", "part"],
                violation_error_code="week-exists",
                violation_error_message="A part has one row for a week and a kind of place.",
            ),
            models.CheckConstraint(
                name="shop_weeklyflow_kind_outside",
                condition=Q(kind__in=OUTSIDE_KINDS),
                violation_error_code="kind-unknown",
                violation_error_message="Flows come from places outside and go there.",
            ),
            on_monday("shop_weeklyflow"),
        ]
        indexes: ClassVar = [models.Index(fields=["part", "kind"], name="shop_weeklyflow_by_part")]
        triggers: ClassVar = kept_by_ledger("shop_weeklyflow")

    def __str__(self) -> str:
        return f"part {self.part_id}, {self.kind}, week of {self.starts_on}"


class WeeklyBalance(models.Model):
    """What was held of a part at the end of a week in which that changed, and its value at cost.

    Kept by the ledger's trigger. What was held at any moment is the last balance of an earlier
    week, and the moves of the moment's own week up to it.
    """

    # Its index is that of the unique constraint below.
    part = models.ForeignKey(
        Part, on_delete=models.PROTECT, related_name="balances", db_index=False
    )
    starts_on = models.DateField()
    quantity = models.DecimalField(max_digits=14, decimal_places=3)
    value = models.DecimalField(max_digits=14, decimal_places=3)

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(
                name="shop_weeklybalance_one_per_week",
                fields=["part", "starts_on"],
                violation_error_code="week-exists",
                violation_error_message="A part has one balance for a week.",
            ),
            on_monday("shop_weeklybalance"),
        ]
        triggers: ClassVar = kept_by_ledger("shop_weeklybalance")

    def __str__(self) -> str:
        return f"{self.quantity} of part {self.part_id} after the week of {self.starts_on}"


class YearOf(Func):
    """The first day of the 52 weeks that a day is in."""

    template = YEAR_OF.format(day="%(expressions)s")
    output_field = models.DateField()


class WeeklyUse(models.Model):
    """How much of a part was used in each of 52 weeks from `starts_on`, less what came back.

    Kept by the ledger's trigger, in thousandths of the part's unit.
    """

    # Its index is that of the unique constraint below.
    part = models.ForeignKey(
        Part, on_delete=models.PROTECT, related_name="weekly_use", db_index=False
    )
    starts_on = models.DateField()
    thousandths = ArrayField(models.BigIntegerField())

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(
                name="shop_weeklyuse_one_per_year",
                fields=["part", "starts_on"],
                violation_error_code="year-exists",
                violation_error_message="A part has one row for 52 weeks.",
            ),
            models.CheckConstraint(
                name="shop_weeklyuse_by_years",
                condition=Q(starts_on=YearOf(F("starts_on"))),
                violation_error_code="year-wrong",
                violation_error_message="Each row's 52 weeks begin where another's end.",
            ),
            models.CheckConstraint(
                name="shop_weeklyuse_whole_years",
                condition=Q(thousandths__len=WEEKS_TOGETHER),
                violation_error_code="weeks-missing",
                violation_error_message="A row has 52 weeks.",
            ),
        ]
        triggers: ClassVar = kept_by_ledger("shop_weeklyuse")

    def __str__(self) -> str:
        return f"part {self.part_id}, 52 weeks from {self.starts_on}"
