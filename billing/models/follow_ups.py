"""Looking again, once a treated room had time to settle."""

from typing import ClassVar

import pghistory
import pgtrigger
from django.db import models

from billing.models.quotes import Quote
from shop.models.guards import Guard


@pghistory.track(pghistory.UpdateEvent(), fields=["due_on"])
class FollowUp(models.Model):
    """The re-examination that is due after a quote which treats the room first.

    It is done when a later examination follows the quote's, and dropped when the quote is.
    """

    quote = models.OneToOneField(Quote, on_delete=models.PROTECT, related_name="follow_up")
    due_on = models.DateField()

    class Meta:
        indexes: ClassVar = [
            models.Index(fields=["due_on", "id"], name="billing_followup_by_day"),
        ]
        triggers: ClassVar = [
            Guard(
                name="billing_followup_after_quote",
                code="follow-up-too-soon",
                message="A treated room needs days to settle: look again after the quote's.",
                operation=pgtrigger.Insert | pgtrigger.UpdateOf("due_on"),
                refuse_when=(
                    "NEW.due_on <= (SELECT (made_at AT TIME ZONE 'UTC')::date FROM billing_quote"
                    " WHERE id = NEW.quote_id)"
                ),
            ),
            Guard(
                name="billing_followup_quote_fixed",
                code="promise-fixed",
                message="A follow-up stays with the quote that made it due.",
                operation=pgtrigger.UpdateOf("quote_id"),
                refuse_when="OLD.quote_id <> NEW.quote_id",
            ),
            Guard(
                name="billing_followup_kept",
                code="promise-fixed",
                message="A follow-up is part of what was quoted; withdraw the quote instead.",
                operation=pgtrigger.Delete,
            ),
        ]

    def __str__(self) -> str:
        return f"follow-up of quote {self.quote_id}"
