"""Numbers of documents, given out one after the other."""

from typing import ClassVar

import pgtrigger
from django.db import models

from shop.models.guards import Guard, no_truncate


class NumberSeries(models.Model):
    """The last number given out in a series and year. Numbers go up by one, without gaps.

    The row is locked by whoever takes the next number until their transaction ends.
    """

    code = models.CharField(max_length=20)
    year = models.PositiveSmallIntegerField()
    last_number = models.PositiveIntegerField(default=0)

    class Meta:
        verbose_name_plural = "number series"
        constraints: ClassVar = [
            models.UniqueConstraint(
                name="billing_numberseries_once",
                fields=["code", "year"],
                violation_error_code="series-exists",
                violation_error_message="There is one series of a code and year.",
            ),
        ]
        triggers: ClassVar = [
            Guard(
                name="billing_numberseries_by_one",
                code="number-skipped",
                message="Numbers are given out one after the other.",
                operation=pgtrigger.Update,
                refuse_when=(
                    "NEW.last_number <> OLD.last_number + 1 OR NEW.code <> OLD.code"
                    " OR NEW.year <> OLD.year"
                ),
            ),
            Guard(
                name="billing_numberseries_no_gap",
                code="number-skipped",
                message="A number is given out together with the invoice that bears it.",
                when=pgtrigger.After,
                timing=pgtrigger.Deferred,
                operation=pgtrigger.Update,
                refuse_when=(
                    "NOT EXISTS (SELECT FROM billing_invoice"
                    " WHERE series_id = NEW.id AND sequence = NEW.last_number)"
                ),
            ),
            Guard(
                name="billing_numberseries_from_nothing",
                code="number-skipped",
                message="A new series starts with no number given out.",
                operation=pgtrigger.Insert,
                refuse_when="NEW.last_number <> 0",
            ),
            Guard(
                name="billing_numberseries_kept",
                code="number-skipped",
                message="A series is kept for as long as its numbers count.",
                operation=pgtrigger.Delete,
            ),
            no_truncate("billing_numberseries", "A series is kept."),
        ]

    def __str__(self) -> str:
        return f"{self.code} {self.year}: {self.last_number}"
