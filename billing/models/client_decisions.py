"""What a client answered to a quote by its link: the evidence of who agreed to what."""

from typing import ClassVar

import pgtrigger
from django.db import models
from django.db.models import Q

from billing.models.quotes import Quote
from shop.models.guards import Guard, append_only

USER_AGENT_LENGTH = 200


class Decision(models.TextChoices):
    """What a client says to a quote."""

    APPROVED = "approved", "Approved"
    DECLINED = "declined", "Declined"


class ClientDecision(models.Model):
    """A client's yes or no, given on the page that the signed link opens.

    `promise` is the whole text of what the quote promised, `promise_sha256` its digest, which the
    link was signed with: together they show exactly which version was answered. `address` and
    `user_agent` (cut short) show from where, in case somebody denies the answer; nothing else about
    the client's device is kept.
    """

    quote = models.OneToOneField(Quote, on_delete=models.PROTECT, related_name="client_decision")
    decision = models.CharField(max_length=10, choices=Decision)
    name = models.CharField(max_length=200, blank=True)
    reason = models.TextField(blank=True)
    decided_at = models.DateTimeField()
    address = models.GenericIPAddressField(null=True, blank=True)
    user_agent = models.CharField(max_length=USER_AGENT_LENGTH, blank=True)
    promise = models.TextField()
    promise_sha256 = models.CharField(max_length=64)

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(
                name="billing_clientdecision_known",
                condition=Q(decision__in=Decision.values),
                violation_error_code="decision-unknown",
                violation_error_message="A client approves a quote or declines it.",
            ),
            models.CheckConstraint(
                name="billing_clientdecision_approved_by_name",
                condition=~Q(decision=Decision.APPROVED) | ~Q(name=""),
                violation_error_code="name-missing",
                violation_error_message="Whoever approves a quote gives their name.",
            ),
        ]
        indexes: ClassVar = [
            models.Index(fields=["decided_at", "id"], name="billing_clientdecision_by_time"),
        ]
        triggers: ClassVar = [
            *append_only("billing_clientdecision", "Decisions of clients"),
            Guard(
                name="billing_clientdecision_promise_hashed",
                code="promise-differs",
                message="The digest is the SHA-256 of what was promised.",
                operation=pgtrigger.Insert,
                refuse_when=(
                    "NEW.promise_sha256 <> encode(sha256(convert_to(NEW.promise, 'UTF8')), 'hex')"
                ),
            ),
            Guard(
                name="billing_clientdecision_as_quote",
                code="decision-differs",
                message="The quote was decided so: the same answer, name, reason and instant.",
                operation=pgtrigger.Insert,
                refuse_when="""
                    NOT EXISTS (SELECT FROM billing_quote AS quote
                        WHERE quote.id = NEW.quote_id AND quote.status = NEW.decision
                            AND quote.decided_at = NEW.decided_at
                            AND quote.decided_by_name = NEW.name
                            AND quote.decision_reason = NEW.reason)
                """,
            ),
        ]

    def __str__(self) -> str:
        return f"quote {self.quote_id} {self.decision}"
