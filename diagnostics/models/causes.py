"""Why a note does what it does, and how far each sign speaks for each cause.

Every figure here is an estimate to start with, which the shop's own cases move.
"""

from collections.abc import Sequence
from decimal import Decimal
from typing import ClassVar

from django.contrib.postgres.fields import ArrayField
from django.db import models
from django.db.models import F, Q

from diagnostics.models.catalogue import ActionRow, Check, Component, Fault, Remedy

SPREAD_SHARES = (
    "spread_isolated",
    "spread_cluster",
    "spread_naturals",
    "spread_sharps",
    "spread_section",
    "spread_everywhere",
)
ROOM_SHARES = ("room_dry", "room_in_range", "room_damp", "room_swung")
AGE_SHARES = ("age_new", "age_middle", "age_old")


def share_field(default: str) -> "models.DecimalField[Decimal | float | str, Decimal]":
    """Return a column of a share of cases, between 0 and 1 to four decimals."""
    return models.DecimalField(max_digits=5, decimal_places=4, default=Decimal(default))


def share_within(column: str, rule: str, said: str) -> models.CheckConstraint:
    """Return the rule that a share lies between 0 and 1: neither never nor always."""
    return models.CheckConstraint(
        name=rule,
        condition=Q(**{f"{column}__gt": 0, f"{column}__lt": 1}),
        violation_error_code="share-absurd",
        violation_error_message=said,
    )


def shares_whole(columns: Sequence[str], rule: str, said: str) -> models.CheckConstraint:
    """Return the rule that the shares of `columns` are each above 0 and add up to 1."""
    first, *others = columns
    rest = Decimal(1) - sum((F(column) for column in others[1:]), F(others[0]))
    above = {f"{column}__gt": 0 for column in columns}
    return models.CheckConstraint(
        name=rule,
        condition=Q(**above, **{first: rest}),
        violation_error_code="shares-not-whole",
        violation_error_message=said,
    )


class FoundOn(models.TextChoices):
    """The only notes that can have a cause."""

    ANY = "any", "Any note"
    NATURALS = "naturals", "Naturals only"
    SHARPS = "sharps", "Sharps only"
    END_KEYS = "end-keys", "The lowest and the highest note only"


class Cause(ActionRow):
    """Why a note does what it does: component, signs, the test that clears it, the remedy.

    `prior_weight` is how often it is behind a bad note, against the other causes of the action.
    `cured_by_room`: treating the room can cure it, and does on a share of the notes,
    `room_cure_share`. The shares of a kind of spread, state of the
    room or age of the instrument say of how many cases in one; each family of them adds up to 1.
    `complaint_words` are beginnings of words, in lower case, that clients say of it.
    """

    component = models.ForeignKey(Component, on_delete=models.PROTECT, related_name="causes")
    signs = models.TextField()
    clearing_test = models.TextField(blank=True)
    checks: "models.ManyToManyField[Check, CauseCheck]" = models.ManyToManyField(
        Check, through="CauseCheck", related_name="causes"
    )
    faults: "models.ManyToManyField[Fault, CauseFault]" = models.ManyToManyField(
        Fault, through="CauseFault", related_name="causes"
    )
    remedy = models.ForeignKey(Remedy, on_delete=models.PROTECT, related_name="causes")
    prior_weight = share_field("0.01")
    cured_by_room = models.BooleanField(default=False)
    room_cure_share = share_field("0.60")
    found_on = models.CharField(max_length=10, choices=FoundOn, default=FoundOn.ANY)
    spread_isolated = share_field("0.50")
    spread_cluster = share_field("0.15")
    spread_naturals = share_field("0.05")
    spread_sharps = share_field("0.05")
    spread_section = share_field("0.10")
    spread_everywhere = share_field("0.15")
    room_dry = share_field("0.20")
    room_in_range = share_field("0.40")
    room_damp = share_field("0.25")
    room_swung = share_field("0.15")
    age_new = share_field("0.15")
    age_middle = share_field("0.45")
    age_old = share_field("0.40")
    complaint_words = ArrayField(models.CharField(max_length=30), default=list, blank=True)

    class Meta(ActionRow.Meta):
        constraints: ClassVar = [
            *ActionRow.Meta.constraints,
            share_within(
                "prior_weight",
                "diagnostics_cause_prior_within",
                "The weight of a cause lies between 0 and 1.",
            ),
            share_within(
                "room_cure_share",
                "diagnostics_cause_room_cure_within",
                "Treating the room cures a share of notes between 0 and 1.",
            ),
            models.CheckConstraint(
                name="diagnostics_cause_found_on_known",
                condition=Q(found_on__in=FoundOn.values),
                violation_error_code="found-on-unknown",
                violation_error_message=f"A cause is found on {', '.join(FoundOn.values)}.",
            ),
            shares_whole(
                SPREAD_SHARES,
                "diagnostics_cause_spread_whole",
                "The shares of the kinds of spread are above 0 and add up to 1.",
            ),
            shares_whole(
                ROOM_SHARES,
                "diagnostics_cause_room_whole",
                "The shares of the states of the room are above 0 and add up to 1.",
            ),
            shares_whole(
                AGE_SHARES,
                "diagnostics_cause_age_whole",
                "The shares of the ages of the instrument are above 0 and add up to 1.",
            ),
        ]


class CauseCheck(models.Model):
    """How often a check is positive on a note that has this cause and no other."""

    # Its index is that of the unique constraint below.
    cause = models.ForeignKey(
        Cause, on_delete=models.CASCADE, related_name="cause_checks", db_index=False
    )
    check_made = models.ForeignKey(Check, on_delete=models.CASCADE, related_name="cause_checks")
    positive_share = share_field("0.70")

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(
                name="diagnostics_causecheck_once",
                fields=["cause", "check_made"],
                violation_error_code="check-named-twice",
                violation_error_message="A cause names each check once.",
            ),
            share_within(
                "positive_share",
                "diagnostics_causecheck_share_within",
                "A check is positive in a share of cases between 0 and 1.",
            ),
        ]

    def __str__(self) -> str:
        return f"check {self.check_made_id}: positive in {self.positive_share}"


class CauseFault(models.Model):
    """How often a note that has this cause and no other shows this fault."""

    # Its index is that of the unique constraint below.
    cause = models.ForeignKey(
        Cause, on_delete=models.CASCADE, related_name="cause_faults", db_index=False
    )
    fault = models.ForeignKey(Fault, on_delete=models.CASCADE, related_name="cause_faults")
    share = share_field("0.40")

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(
                name="diagnostics_causefault_once",
                fields=["cause", "fault"],
                violation_error_code="fault-named-twice",
                violation_error_message="A cause names each fault once.",
            ),
            share_within(
                "share",
                "diagnostics_causefault_share_within",
                "A fault shows in a share of cases between 0 and 1.",
            ),
        ]

    def __str__(self) -> str:
        return f"fault {self.fault_id}: in {self.share}"
