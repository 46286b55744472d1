"""What the work will cost, promised before anything is touched."""

from typing import ClassVar

import pghistory
import pgtrigger
from django.conf import settings
from django.db import models
from django.db.models import F, Q

from billing.models.documents import (
    Document,
    amount_field,
    totals_tie,
)
from billing.models.shortages import COUNT_SHORTAGES
from billing.rules.plans import PlanKind
from diagnostics.models import Examination
from shop.models import Client, Place
from shop.models.guards import Guard, no_truncate, status_edges


class QuoteStatus(models.TextChoices):
    """Where a quote stands."""

    OFFERED = "offered", "Offered"
    APPROVED = "approved", "Approved"
    DECLINED = "declined", "Declined"
    WITHDRAWN = "withdrawn", "Withdrawn"
    EXPIRED = "expired", "Expired"
    SUPERSEDED = "superseded", "Superseded"
    COMPLETED = "completed", "Completed"


class QuotePlan(models.TextChoices):
    """What a quote does at once."""

    NOW = PlanKind.NOW, "Repair now"
    ROOM_FIRST = PlanKind.ROOM_FIRST, "Treat the room first"


FIRM_LINES = "billing_quoteline WHERE quote_id = document.id AND option_id IS NULL"
OPEN_STATUSES = [QuoteStatus.OFFERED, QuoteStatus.APPROVED]
QUOTE_EDGES = {
    QuoteStatus.OFFERED: [
        QuoteStatus.APPROVED,
        QuoteStatus.DECLINED,
        QuoteStatus.WITHDRAWN,
        QuoteStatus.EXPIRED,
        QuoteStatus.SUPERSEDED,
    ],
    QuoteStatus.APPROVED: [
        QuoteStatus.WITHDRAWN,
        QuoteStatus.SUPERSEDED,
        QuoteStatus.COMPLETED,
    ],
}
PROMISED = [
    "examination_id",
    "client_id",
    "plan",
    "version",
    "supersedes_id",
    "bag_id",
    "from_place_id",
    "made_at",
    "made_by_id",
    "valid_until",
    *("currency", "minor_units"),
    *("line_total", "allowance_total", "charge_total", "net_total", "tax_total", "gross_total"),
    *("rounding_amount", "payable_total"),
    "net_low",
    "net_high",
    "minutes_low",
    "minutes_likely",
    "minutes_high",
    "diagnosis",
    "deposit_percent",
    "deposit_amount",
    "terms",
]


@pghistory.track(
    pghistory.UpdateEvent(),
    fields=["status", "decided_at", "decided_by_name", "decision_reason"],
)
class Quote(Document):
    """The price of an examination's remedies, good until the end of `valid_until`.

    An examination has one open quote of each `plan`, until one is approved. `net_low` and
    `net_high` are the price if every estimate ran low or high; minutes are the sums of the
    three-point estimates. `diagnosis` is the snapshot of the findings that the quote rests on.
    Parts wait in `bag`, taken from `from_place`. A revised quote is a new one, of the next
    `version`, that `supersedes` the last; it takes over the bag. `deposit_amount` is what is asked
    for beforehand, with tax, as a percentage of the payable total or as such.
    """

    examination = models.ForeignKey(Examination, on_delete=models.PROTECT, related_name="quotes")
    client = models.ForeignKey(Client, on_delete=models.PROTECT, related_name="quotes")
    plan = models.CharField(max_length=20, choices=QuotePlan, default=QuotePlan.NOW)
    status = models.CharField(max_length=20, choices=QuoteStatus, default=QuoteStatus.OFFERED)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    valid_until = models.DateField()
    version = models.PositiveSmallIntegerField(default=1)
    supersedes = models.OneToOneField(
        "self", on_delete=models.PROTECT, related_name="superseded_by", null=True, blank=True
    )
    # Its index is that of the unique constraint below.
    bag = models.ForeignKey(Place, on_delete=models.PROTECT, related_name="quotes", db_index=False)
    from_place = models.ForeignKey(Place, on_delete=models.PROTECT, related_name="+")
    net_low = amount_field()
    net_high = amount_field()
    minutes_low = models.DecimalField(max_digits=8, decimal_places=1)
    minutes_likely = models.DecimalField(max_digits=8, decimal_places=1)
    minutes_high = models.DecimalField(max_digits=8, decimal_places=1)
    diagnosis = models.JSONField()
    deposit_percent = models.DecimalField(max_digits=6, decimal_places=3, null=True, blank=True)
    deposit_amount = models.DecimalField(max_digits=14, decimal_places=3, default=0)
    terms = models.TextField(blank=True)
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
                name="billing_quote_plan_known",
                condition=Q(plan__in=QuotePlan.values),
                violation_error_code="plan-unknown",
                violation_error_message="A quote repairs now or treats the room first.",
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
            models.CheckConstraint(
                name="billing_quote_deposit_within",
                condition=Q(deposit_amount__gte=0, deposit_amount__lte=F("payable_total"))
                & (Q(deposit_percent__isnull=True) | Q(deposit_percent__range=(0, 100))),
                violation_error_code="deposit-beyond-rest",
                violation_error_message="A deposit is at most what is to be paid.",
            ),
            models.CheckConstraint(
                name="billing_quote_version_counted",
                condition=Q(version=1, supersedes__isnull=True)
                | Q(version__gt=1, supersedes__isnull=False),
                violation_error_code="version-skipped",
                violation_error_message="A later version, and no first one, supersedes a quote.",
            ),
            models.UniqueConstraint(
                name="billing_quote_bag_once",
                fields=["bag"],
                condition=~Q(status=QuoteStatus.SUPERSEDED),
                violation_error_code="bag-taken",
                violation_error_message="A job bag belongs to one quote, of the last version.",
            ),
            models.UniqueConstraint(
                name="billing_quote_one_open",
                fields=["examination", "plan"],
                condition=Q(status__in=OPEN_STATUSES),
                violation_error_code="already-quoted",
                violation_error_message=(
                    "The examination has an open quote of this plan; withdraw it or revise it."
                ),
            ),
        ]
        indexes: ClassVar = [
            models.Index(fields=["status", "valid_until"], name="billing_quote_by_status"),
            models.Index(fields=["made_at", "id"], name="billing_quote_by_time"),
        ]
        triggers: ClassVar = [
            *status_edges("billing_quote", QUOTE_EDGES, QuoteStatus.OFFERED),
            *totals_tie("billing_quote", "quote_id", lines=FIRM_LINES),
            Guard(
                name="billing_quote_options_agreed",
                code="options-undecided",
                message="Approving a quote with options says which are taken.",
                when=pgtrigger.After,
                timing=pgtrigger.Deferred,
                operation=pgtrigger.UpdateOf("status"),
                condition=pgtrigger.Q(new__status=QuoteStatus.APPROVED),
                refuse_when="""
                    EXISTS (SELECT FROM billing_quoteoption WHERE quote_id = NEW.id)
                    AND NOT EXISTS (SELECT FROM billing_quoteagreement WHERE quote_id = NEW.id)
                """,
            ),
            pgtrigger.Trigger(
                name="billing_quote_counts_shortages",
                when=pgtrigger.After,
                operation=pgtrigger.UpdateOf("status"),
                condition=pgtrigger.Condition(
                    "NEW.status = 'completed' AND OLD.status <> 'completed'"
                ),
                func=COUNT_SHORTAGES,
            ),
            Guard(
                name="billing_quote_approved_alone",
                code="already-quoted",
                message="Beside an approved quote its examination has no other open one.",
                when=pgtrigger.After,
                operation=pgtrigger.Insert | pgtrigger.UpdateOf("status"),
                condition=pgtrigger.Q(new__status__in=OPEN_STATUSES),
                # The examination is locked, so that nobody quotes it while its quote is approved.
                before_check="""
                    PERFORM FROM diagnostics_examination WHERE id = NEW.examination_id
                        FOR NO KEY UPDATE;
                """,
                refuse_when="""
                    EXISTS (SELECT FROM billing_quote AS other
                        WHERE other.examination_id = NEW.examination_id AND other.id <> NEW.id
                            AND other.status IN ('offered', 'approved')
                            AND 'approved' IN (NEW.status, other.status))
                """,
            ),
            Guard(
                name="billing_quote_supersedes_last",
                code="version-skipped",
                message="A version follows the superseded one before it, with the same job bag.",
                operation=pgtrigger.Insert,
                condition=pgtrigger.Q(new__supersedes__isnull=False),
                refuse_when="""
                    NOT EXISTS (SELECT FROM billing_quote WHERE id = NEW.supersedes_id
                        AND status = 'superseded' AND version = NEW.version - 1
                        AND examination_id = NEW.examination_id AND bag_id = NEW.bag_id)
                """,
            ),
            Guard(
                name="billing_quote_superseded_by_next",
                code="version-skipped",
                message="A quote is superseded by the version that follows it.",
                when=pgtrigger.After,
                timing=pgtrigger.Deferred,
                operation=pgtrigger.Update,
                condition=pgtrigger.Q(new__status=QuoteStatus.SUPERSEDED),
                refuse_when="NOT EXISTS (SELECT FROM billing_quote WHERE supersedes_id = NEW.id)",
            ),
            Guard(
                name="billing_quote_changes_decided",
                code="change-undecided",
                message="The client decides on the changes proposed before the job is done.",
                operation=pgtrigger.UpdateOf("status"),
                condition=pgtrigger.Q(new__status=QuoteStatus.COMPLETED),
                refuse_when=(
                    "EXISTS (SELECT FROM billing_quotechange"
                    " WHERE quote_id = NEW.id AND status = 'proposed')"
                ),
            ),
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
