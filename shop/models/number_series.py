"""Numbers that documents bear, one after the other and without gaps."""

from typing import ClassVar

import pgtrigger
from django.db import models

from shop.models.guards import Guard, no_truncate


class DocumentSeries(models.Model):
    """The last number given out in a series and year. Numbers go up by one, without gaps.

    The row is locked by whoever takes the next number until their transaction ends.
    """

    code = models.CharField(max_length=20)
    year = models.PositiveSmallIntegerField()
    last_number = models.PositiveIntegerField(default=0)

    class Meta:
        abstract = True
        constraints: ClassVar = [
            models.UniqueConstraint(
                name="%(app_label)s_%(class)s_once",
                fields=["code", "year"],
                violation_error_code="series-exists",
                violation_error_message="There is one series of a code and year.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.code} {self.year}: {self.last_number}"


def series_guards(model: str, *, bearer: str, noun: str) -> list[Guard]:
    """Return the guards of a table of series whose numbers the rows of table `bearer` bear."""
    return [
        Guard(
            name=f"{model}_by_one",
            code="number-skipped",
            message="Numbers are given out one after the other.",
            operation=pgtrigger.Update,
            refuse_when=(
                "NEW.last_number <> OLD.last_number + 1 OR NEW.code <> OLD.code"
                " OR NEW.year <> OLD.year"
            ),
        ),
        Guard(
            name=f"{model}_no_gap",
            code="number-skipped",
            message=f"A number is given out together with the {noun} that bears it.",
            when=pgtrigger.After,
            timing=pgtrigger.Deferred,
            operation=pgtrigger.Update,
            refuse_when=(
                f"NOT EXISTS (SELECT FROM {bearer}"
                " WHERE series_id = NEW.id AND sequence = NEW.last_number)"
            ),
        ),
        Guard(
            name=f"{model}_from_nothing",
            code="number-skipped",
            message="A new series starts with no number given out.",
            operation=pgtrigger.Insert,
            refuse_when="NEW.last_number <> 0",
        ),
        Guard(
            name=f"{model}_kept",
            code="number-skipped",
            message="A series is kept for as long as its numbers count.",
            operation=pgtrigger.Delete,
        ),
        no_truncate(model, "A series is kept."),
    ]
