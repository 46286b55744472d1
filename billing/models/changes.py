"""Extra work: what is added to an approved quote when the work shows more."""

from typing import ClassVar

import pgtrigger
from django.conf import settings
from django.contrib.postgres.fields import ArrayField
from django.db import models
from django.db.models import F, Q

from billing.models.all_at_once import all_at_once
from billing.models.documents import (
    Document,
    DocumentTax,
    amount_field,
    totals_tie,
)
from billing.models.quote_rows import QuotedLine
from billing.models.quotes import Quote
from diagnostics.models import Remedy
from shop.models import Part
from shop.models.guards import Guard, append_only, no_truncate, status_edges

CHANGES_STAY = "What was added to a quote is kept as it was recorded; record another change."


class ChangeStatus(models.TextChoices):
    """Where a change stands: one within the shop's tolerance needs nobody's word."""

    TOLERATED = "tolerated", "Within the tolerance"
    PROPOSED = "proposed", "Proposed"
    APPROVED = "approved", "Approved"
    DECLINED = "declined", "Declined"


# What is done and invoiced.
AGREED_CHANGES = [ChangeStatus.TOLERATED, ChangeStatus.APPROVED]
DECIDED_CHANGES = [ChangeStatus.APPROVED, ChangeStatus.DECLINED]
CHANGE_EDGES = {ChangeStatus.PROPOSED: DECIDED_CHANGES}
NO_ALLOWANCES = "(SELECT 0 AS amount, FALSE AS is_charge) AS nothing"
FREE = ("id", "status", "decided_at", "decided_by_name", "decision_reason")


class QuoteChange(Document):
    """A remedy that was not quoted, on some notes, or the whole instrument when there are none.

    `tolerance_left` is how much, before tax, could be done without asking when it was recorded.
    """

    quote = models.ForeignKey(
        Quote, on_delete=models.PROTECT, related_name="changes", db_index=False
    )
    number = models.PositiveSmallIntegerField()
    status = models.CharField(max_length=10, choices=ChangeStatus)
    remedy = models.ForeignKey(Remedy, on_delete=models.PROTECT, related_name="+")
    notes_midi = ArrayField(models.PositiveSmallIntegerField(), default=list, blank=True)
    reason = models.TextField()
    tolerance_left = amount_field()
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    decided_at = models.DateTimeField(null=True, blank=True)
    decided_by_name = models.CharField(max_length=200, blank=True)
    decision_reason = models.TextField(blank=True)

    class Meta:
        constraints: ClassVar = [
            *Document.Meta.constraints,
            models.UniqueConstraint(
                name="billing_quotechange_number_once",
                fields=["quote", "number"],
                violation_error_code="number-taken",
                violation_error_message="A quote has one change of a number.",
            ),
            models.CheckConstraint(
                name="billing_quotechange_status_known",
                condition=Q(status__in=ChangeStatus.values),
                violation_error_code="status-unknown",
                violation_error_message="The status is not one that a change has.",
            ),
            models.CheckConstraint(
                name="billing_quotechange_reason_given",
                condition=~Q(reason=""),
                violation_error_code="reason-missing",
                violation_error_message="A change says why.",
            ),
            models.CheckConstraint(
                name="billing_quotechange_within_tolerance",
                condition=~Q(status=ChangeStatus.TOLERATED) | Q(net_total__lte=F("tolerance_left")),
                violation_error_code="beyond-tolerance",
                violation_error_message="A change beyond the tolerance needs the client's word.",
            ),
            models.CheckConstraint(
                name="billing_quotechange_decided_when",
                condition=Q(status__in=DECIDED_CHANGES, decided_at__isnull=False)
                | Q(~Q(status__in=DECIDED_CHANGES), decided_at__isnull=True),
                violation_error_code="decision-undated",
                violation_error_message="A decided change, and no other, says when it was.",
            ),
            models.CheckConstraint(
                name="billing_quotechange_approved_by",
                condition=~Q(status=ChangeStatus.APPROVED) | ~Q(decided_by_name=""),
                violation_error_code="name-missing",
                violation_error_message="An approved change says who approved it.",
            ),
        ]
        triggers: ClassVar = [
            status_edges("billing_quotechange", CHANGE_EDGES, ChangeStatus.PROPOSED)[0],
            Guard(
                name="billing_quotechange_status_first",
                code="status-edge",
                message="A new change is within the tolerance or proposed.",
                operation=pgtrigger.Insert,
                refuse_when="NEW.status NOT IN ('tolerated', 'proposed')",
            ),
            Guard(
                name="billing_quotechange_quote_approved",
                code="quote-not-open",
                message="Work is added to an approved quote, until the job is done.",
                operation=pgtrigger.Insert | pgtrigger.UpdateOf("status"),
                # The quote is locked, so that nobody completes the job meanwhile.
                before_check="PERFORM FROM billing_quote WHERE id = NEW.quote_id FOR UPDATE;",
                refuse_when=(
                    "NOT EXISTS (SELECT FROM billing_quote"
                    " WHERE id = NEW.quote_id AND status = 'approved')"
                ),
            ),
            *totals_tie("billing_quotechange", "change_id", allowances=NO_ALLOWANCES),
            Guard(
                name="billing_quotechange_promise_fixed",
                code="promise-fixed",
                message=CHANGES_STAY,
                operation=pgtrigger.Update,
                refuse_when=(
                    f"to_jsonb(OLD) - ARRAY{list(FREE)}::text[]"
                    f" IS DISTINCT FROM to_jsonb(NEW) - ARRAY{list(FREE)}::text[]"
                    " OR OLD.id <> NEW.id"
                ),
            ),
            Guard(
                name="billing_quotechange_kept",
                code="promise-fixed",
                message=CHANGES_STAY,
                operation=pgtrigger.Delete,
            ),
            no_truncate("billing_quotechange", CHANGES_STAY),
        ]

    def __str__(self) -> str:
        return f"change {self.number} of quote {self.quote_id}"


class QuoteChangeLine(QuotedLine):
    """A line of a change."""

    # Its index is that of the unique constraint below.
    change = models.ForeignKey(
        QuoteChange, on_delete=models.PROTECT, related_name="lines", db_index=False
    )

    class Meta(QuotedLine.Meta):
        abstract = False
        constraints: ClassVar = [
            *QuotedLine.Meta.constraints,
            models.UniqueConstraint(
                name="billing_quotechangeline_position_once",
                fields=["change", "position"],
                violation_error_code="position-taken",
                violation_error_message="A change has one line at a position.",
            ),
        ]
        triggers: ClassVar = [
            *append_only("billing_quotechangeline", "Lines of changes"),
            all_at_once("billing_quotechangeline", CHANGES_STAY, "change_id"),
        ]


class QuoteChangeTax(DocumentTax):
    """The tax of one rate on a change."""

    # Its index is that of the unique constraint below.
    change = models.ForeignKey(
        QuoteChange, on_delete=models.PROTECT, related_name="taxes", db_index=False
    )

    class Meta(DocumentTax.Meta):
        constraints: ClassVar = [
            *DocumentTax.Meta.constraints,
            models.UniqueConstraint(
                name="billing_quotechangetax_rate_once",
                fields=["change", "tax_code", "tax_percent"],
                violation_error_code="rate-taken",
                violation_error_message="A change sums up each tax once.",
            ),
        ]
        triggers: ClassVar = [
            *append_only("billing_quotechangetax", "Taxes of changes"),
            all_at_once("billing_quotechangetax", CHANGES_STAY, "change_id"),
        ]


class QuoteChangePart(models.Model):
    """What a change wants in the job bag of a part, once it is agreed."""

    # Its index is that of the unique constraint below.
    change = models.ForeignKey(
        QuoteChange, on_delete=models.PROTECT, related_name="parts", db_index=False
    )
    part = models.ForeignKey(Part, on_delete=models.PROTECT, related_name="+")
    wanted_quantity = models.DecimalField(max_digits=14, decimal_places=3)

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(
                name="billing_quotechangepart_once",
                fields=["change", "part"],
                violation_error_code="part-named-twice",
                violation_error_message="A change names each part once.",
            ),
            models.CheckConstraint(
                name="billing_quotechangepart_positive",
                condition=Q(wanted_quantity__gt=0),
                violation_error_code="quantity-not-positive",
                violation_error_message="What is wanted is more than nothing.",
            ),
        ]
        triggers: ClassVar = [
            *append_only("billing_quotechangepart", "Parts of changes"),
            all_at_once("billing_quotechangepart", CHANGES_STAY, "change_id"),
        ]

    def __str__(self) -> str:
        return f"{self.wanted_quantity} of part {self.part_id}"
