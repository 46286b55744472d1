"""What the work will cost, promised before anything is touched."""

from typing import ClassVar

import pghistory
import pgtrigger
from django.conf import settings
from django.db import models
from django.db.models import F, Q

from billing.models.documents import (
    Document,
    DocumentAllowance,
    DocumentLine,
    DocumentTax,
    amount_field,
    totals_tie,
)
from diagnostics.models import Examination, Remedy
from shop.models import Client, Part, Place
from shop.models.guards import Guard, append_only, no_truncate, status_edges


class QuoteStatus(models.TextChoices):
    """Where a quote stands."""

    OFFERED = "offered", "Offered"
    APPROVED = "approved", "Approved"
    DECLINED = "declined", "Declined"
    WITHDRAWN = "withdrawn", "Withdrawn"
    EXPIRED = "expired", "Expired"
    COMPLETED = "completed", "Completed"


OPEN_STATUSES = [QuoteStatus.OFFERED, QuoteStatus.APPROVED]
QUOTE_EDGES = {
    QuoteStatus.OFFERED: [
        QuoteStatus.APPROVED,
        QuoteStatus.DECLINED,
        QuoteStatus.WITHDRAWN,
        QuoteStatus.EXPIRED,
    ],
    QuoteStatus.APPROVED: [QuoteStatus.WITHDRAWN, QuoteStatus.COMPLETED],
}
PROMISED = [
    "examination_id",
    "client_id",
    "bag_id",
    "from_place_id",
    "made_at",
    "made_by_id",
    "valid_until",
    "currency",
    "minor_units",
    "line_total",
    "allowance_total",
    "charge_total",
    "net_total",
    "tax_total",
    "gross_total",
    "rounding_amount",
    "payable_total",
    "net_low",
    "net_high",
    "minutes_low",
    "minutes_likely",
    "minutes_high",
    "diagnosis",
]


@pghistory.track(
    pghistory.UpdateEvent(),
    fields=["status", "decided_at", "decided_by_name", "decision_reason"],
)
class Quote(Document):
    """The price of an examination's remedies, good until the end of `valid_until`.

    `net_low` and `net_high` are the price if every estimate ran low or high; minutes are the sums
    of the three-point estimates. `diagnosis` is the snapshot of the findings that the quote rests
    on. Parts wait in `bag`, taken from `from_place`.
    """

    examination = models.ForeignKey(Examination, on_delete=models.PROTECT, related_name="quotes")
    client = models.ForeignKey(Client, on_delete=models.PROTECT, related_name="quotes")
    status = models.CharField(max_length=20, choices=QuoteStatus, default=QuoteStatus.OFFERED)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    valid_until = models.DateField()
    bag = models.OneToOneField(Place, on_delete=models.PROTECT, related_name="quote")
    from_place = models.ForeignKey(Place, on_delete=models.PROTECT, related_name="+")
    net_low = amount_field()
    net_high = amount_field()
    minutes_low = models.DecimalField(max_digits=8, decimal_places=1)
    minutes_likely = models.DecimalField(max_digits=8, decimal_places=1)
    minutes_high = models.DecimalField(max_digits=8, decimal_places=1)
    diagnosis = models.JSONField()
    decided_at = models.DateTimeField(null=True, blank=True)
    decided_on = models.DateField(null=True, blank=True)
    decided_by_name = models.CharField(max_length=200, blank=True)
    decision_reason = models.TextField(blank=True)
    completed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints: ClassVar = [
            *Document.Meta.constraints,
            models.CheckConstraint(
                name="billing_quote_status_known",
                condition=Q(status__in=QuoteStatus.values),
                violation_error_code="status-unknown",
                violation_error_message="The status is not one that a quote has.",
            ),
            models.CheckConstraint(
                name="billing_quote_approved_in_time",
                condition=~Q(status__in=[QuoteStatus.APPROVED, QuoteStatus.COMPLETED])
                | Q(
                    decided_at__isnull=False,
                    decided_on__isnull=False,
                    decided_on__lte=F("valid_until"),
                ),
                violation_error_code="quote-expired",
                violation_error_message="The quote has expired; make a new one.",
            ),
            models.CheckConstraint(
                name="billing_quote_completed_when",
                condition=Q(status=QuoteStatus.COMPLETED, completed_at__isnull=False)
                | Q(~Q(status=QuoteStatus.COMPLETED), completed_at__isnull=True),
                violation_error_code="completion-undated",
                violation_error_message="A completed quote, and no other, says when it was.",
            ),
            models.UniqueConstraint(
                name="billing_quote_one_open",
                fields=["examination"],
                condition=Q(status__in=OPEN_STATUSES),
                violation_error_code="already-quoted",
                violation_error_message=(
                    "The examination has an open quote; withdraw it or ask to replace it."
                ),
            ),
        ]
        indexes: ClassVar = [
            models.Index(fields=["status", "valid_until"], name="billing_quote_by_status"),
            models.Index(fields=["made_at", "id"], name="billing_quote_by_time"),
        ]
        triggers: ClassVar = [
            *status_edges("billing_quote", QUOTE_EDGES, QuoteStatus.OFFERED),
            *totals_tie("billing_quote", "quote_id"),
            Guard(
                name="billing_quote_promise_fixed",
                code="promise-fixed",
                message="What a quote promised never changes; make a new one.",
                operation=pgtrigger.Update,
                refuse_when=" OR ".join(
                    f"OLD.{column} IS DISTINCT FROM NEW.{column}" for column in PROMISED
                ),
            ),
            Guard(
                name="billing_quote_kept",
                code="promise-fixed",
                message="Quotes are kept; withdraw it instead.",
                operation=pgtrigger.Delete,
            ),
            no_truncate("billing_quote", "Quotes are kept; withdraw it instead."),
        ]

    def __str__(self) -> str:
        return f"quote {self.pk}"


def all_at_once(model: str, message: str) -> Guard:
    """Return the guard that gives a quote all its rows of `model` in one statement, none later."""
    return Guard(
        name=f"{model}_all_at_once",
        code="promise-fixed",
        message=message,
        level=pgtrigger.Statement,
        when=pgtrigger.After,
        operation=pgtrigger.Insert,
        referencing=pgtrigger.Referencing(new="new_rows"),
        refuse_when=(
            # Counted, so that the index on the quote is used however many rows there are.
            f"(SELECT count(*) FROM {model}"
            " WHERE quote_id = ANY (ARRAY(SELECT DISTINCT quote_id FROM new_rows)))"
            " <> (SELECT count(*) FROM new_rows)"
        ),
    )


class QuoteLine(DocumentLine):
    """A line of a quote, with the minutes it rests on; `note_count` says on how many notes."""

    # Its index is that of the unique constraint below.
    quote = models.ForeignKey(Quote, on_delete=models.PROTECT, related_name="lines", db_index=False)
    remedy = models.ForeignKey(Remedy, on_delete=models.PROTECT, related_name="+", null=True)
    part = models.ForeignKey(Part, on_delete=models.PROTECT, related_name="+", null=True)
    note_count = models.PositiveSmallIntegerField(default=0)
    minutes_low = models.DecimalField(max_digits=8, decimal_places=1, default=0)
    minutes_likely = models.DecimalField(max_digits=8, decimal_places=1, default=0)
    minutes_high = models.DecimalField(max_digits=8, decimal_places=1, default=0)

    class Meta(DocumentLine.Meta):
        constraints: ClassVar = [
            *DocumentLine.Meta.constraints,
            models.UniqueConstraint(
                name="billing_quoteline_position_once",
                fields=["quote", "position"],
                violation_error_code="position-taken",
                violation_error_message="A quote has one line at a position.",
            ),
        ]
        triggers: ClassVar = [
            *append_only("billing_quoteline", "Quote lines"),
            all_at_once("billing_quoteline", "A quote keeps the lines it was made with."),
        ]


class QuoteAllowance(DocumentAllowance):
    """An allowance or charge on a whole quote."""

    # Its index is that of the unique constraint below.
    quote = models.ForeignKey(
        Quote, on_delete=models.PROTECT, related_name="allowances", db_index=False
    )

    class Meta(DocumentAllowance.Meta):
        constraints: ClassVar = [
            *DocumentAllowance.Meta.constraints,
            models.UniqueConstraint(
                name="billing_quoteallowance_position_once",
                fields=["quote", "position"],
                violation_error_code="position-taken",
                violation_error_message="A quote has one allowance or charge at a position.",
            ),
        ]
        triggers: ClassVar = [
            *append_only("billing_quoteallowance", "Quote allowances"),
            all_at_once("billing_quoteallowance", "A quote keeps the allowances it was made with."),
        ]


class QuoteTax(DocumentTax):
    """The tax of one rate on a quote."""

    # Its index is that of the unique constraint below.
    quote = models.ForeignKey(Quote, on_delete=models.PROTECT, related_name="taxes", db_index=False)

    class Meta(DocumentTax.Meta):
        constraints: ClassVar = [
            *DocumentTax.Meta.constraints,
            models.UniqueConstraint(
                name="billing_quotetax_rate_once",
                fields=["quote", "tax_code", "tax_percent"],
                violation_error_code="rate-taken",
                violation_error_message="A quote sums up each tax once.",
            ),
        ]
        triggers: ClassVar = [
            *append_only("billing_quotetax", "Quote taxes"),
            all_at_once("billing_quotetax", "A quote keeps the taxes it was made with."),
        ]


class BagLine(models.Model):
    """What the job bag should hold of a part, and what was on the shelf to put in it."""

    # Its index is that of the unique constraint below.
    quote = models.ForeignKey(
        Quote, on_delete=models.PROTECT, related_name="bag_lines", db_index=False
    )
    part = models.ForeignKey(Part, on_delete=models.PROTECT, related_name="bag_lines")
    wanted_quantity = models.DecimalField(max_digits=14, decimal_places=3)
    taken_quantity = models.DecimalField(max_digits=14, decimal_places=3)

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(
                name="billing_bagline_part_once",
                fields=["quote", "part"],
                violation_error_code="part-named-twice",
                violation_error_message="A job bag names each part once.",
            ),
            models.CheckConstraint(
                name="billing_bagline_taken_within_wanted",
                condition=Q(
                    wanted_quantity__gt=0,
                    taken_quantity__gte=0,
                    taken_quantity__lte=F("wanted_quantity"),
                ),
                violation_error_code="taken-beyond-wanted",
                violation_error_message="A bag takes no more of a part than the work wants.",
            ),
        ]
        indexes: ClassVar = [
            # Of the lines that are short, which are few.
            models.Index(
                name="billing_bagline_short",
                fields=["part", "quote"],
                condition=Q(taken_quantity__lt=F("wanted_quantity")),
            ),
        ]
        triggers: ClassVar = append_only("billing_bagline", "Bag lines")

    def __str__(self) -> str:
        return f"{self.taken_quantity} of {self.wanted_quantity}"
