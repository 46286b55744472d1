"""Reminders of what is overdue: the levels and texts they follow, and those that went out."""

from typing import ClassVar

import pghistory
import pgtrigger
from django.conf import settings
from django.db import models
from django.db.models import F, Q

from billing.models.documents import amount_field
from billing.models.invoices import Invoice
from shop.models import Language
from shop.models.guards import Guard, no_truncate

REMINDER_STAYS = "A reminder that was made stays as it is."


@pghistory.track(pghistory.InsertEvent(), pghistory.UpdateEvent(), pghistory.DeleteEvent())
class ReminderLevel(models.Model):
    """One of the reminders that an invoice gets in turn, so many days after it was due.

    A fee is asked for only where the owner sets one: local law governs whether and how much.
    """

    level = models.PositiveSmallIntegerField(unique=True)
    days_after_due = models.PositiveSmallIntegerField()
    fee_amount = models.DecimalField(max_digits=14, decimal_places=3, null=True, blank=True)

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(
                name="billing_reminderlevel_sensible",
                condition=Q(level__gte=1, days_after_due__gte=1)
                & (Q(fee_amount__isnull=True) | Q(fee_amount__gte=0)),
                violation_error_code="level-absurd",
                violation_error_message=("Levels and days count from 1; a fee is nothing or more."),
            ),
        ]
        triggers: ClassVar = [
            Guard(
                name="billing_reminderlevel_ascends",
                code="levels-disordered",
                message="A higher level comes more days after the due day than a lower one.",
                when=pgtrigger.After,
                operation=pgtrigger.Insert | pgtrigger.Update,
                refuse_when=(
                    "EXISTS (SELECT FROM billing_reminderlevel AS other WHERE"
                    " (other.level < NEW.level AND other.days_after_due >= NEW.days_after_due)"
                    " OR (other.level > NEW.level AND other.days_after_due <= NEW.days_after_due))"
                ),
            ),
        ]

    def __str__(self) -> str:
        return f"level {self.level}, {self.days_after_due} days"


@pghistory.track(pghistory.InsertEvent(), pghistory.UpdateEvent(), pghistory.DeleteEvent())
class ReminderText(models.Model):
    """What a reminder of a level says in a language, with placeholders such as `$number`."""

    level = models.ForeignKey(ReminderLevel, on_delete=models.CASCADE, related_name="texts")
    language = models.CharField(max_length=2, choices=Language)
    subject = models.CharField(max_length=200)
    body = models.TextField()

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(
                name="billing_remindertext_one_in_language",
                fields=["level", "language"],
                violation_error_code="text-exists",
                violation_error_message="There is a text of this level in this language already.",
            ),
            models.CheckConstraint(
                name="billing_remindertext_written",
                condition=Q(language__in=Language.values) & ~Q(subject="") & ~Q(body=""),
                violation_error_code="text-missing",
                violation_error_message="A text has a subject and a body, in English or German.",
            ),
        ]

    def __str__(self) -> str:
        return self.subject


class ReminderChannel(models.TextChoices):
    """How a reminder reaches the client."""

    MAIL = "mail", "E-mail"
    LETTER = "letter", "Letter"


class Reminder(models.Model):
    """A reminder of an invoice, of which there is one at each level; it never changes.

    Interest and fee are what it asks for beside what is open; neither is booked by it. `mailed_at`
    is when the mail server took it.
    """

    invoice = models.ForeignKey(Invoice, on_delete=models.PROTECT, related_name="reminders")
    level = models.ForeignKey(ReminderLevel, on_delete=models.PROTECT, related_name="reminders")
    channel = models.CharField(max_length=10, choices=ReminderChannel)
    language = models.CharField(max_length=2, choices=Language)
    email = models.EmailField(blank=True)
    subject = models.CharField(max_length=300)
    body = models.TextField()
    open_total = amount_field()
    interest_amount = amount_field()
    fee_amount = amount_field()
    reminded_on = models.DateField()
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    mailed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(
                name="billing_reminder_once",
                fields=["invoice", "level"],
                violation_error_code="already-reminded",
                violation_error_message="The invoice was reminded of at this level before.",
            ),
            models.CheckConstraint(
                name="billing_reminder_reaches",
                condition=Q(~Q(email=""), channel=ReminderChannel.MAIL)
                | Q(channel=ReminderChannel.LETTER, email="", mailed_at__isnull=True),
                violation_error_code="no-address",
                violation_error_message="A mail has an address; a letter is not mailed.",
            ),
            models.CheckConstraint(
                name="billing_reminder_language_known",
                condition=Q(language__in=Language.values),
                violation_error_code="language-unknown",
                violation_error_message="Reminders are written in English or German.",
            ),
            models.CheckConstraint(
                name="billing_reminder_amounts_sensible",
                condition=Q(open_total__gt=0, interest_amount__gte=0, fee_amount__gte=0),
                violation_error_code="amount-negative",
                violation_error_message="Something is open; interest and fee are not negative.",
            ),
            models.CheckConstraint(
                name="billing_reminder_mailed_after",
                condition=Q(mailed_at__isnull=True) | Q(mailed_at__gte=F("recorded_at")),
                violation_error_code="mailed-before",
                violation_error_message="A reminder is mailed after it was recorded.",
            ),
        ]
        indexes: ClassVar = [
            models.Index(fields=["recorded_at", "id"], name="billing_reminder_by_time")
        ]
        triggers: ClassVar = [
            Guard(
                name="billing_reminder_stays",
                code="append-only",
                message=REMINDER_STAYS,
                operation=pgtrigger.Update | pgtrigger.Delete,
                refuse_when=(
                    "TG_OP = 'DELETE' OR OLD.mailed_at IS NOT NULL"
                    " OR to_jsonb(OLD) - 'mailed_at' <> to_jsonb(NEW) - 'mailed_at'"
                ),
            ),
            no_truncate("billing_reminder", REMINDER_STAYS),
            Guard(
                name="billing_reminder_of_overdue",
                code="not-overdue",
                message="A reminder is of an issued invoice, after its due day.",
                operation=pgtrigger.Insert,
                refuse_when=(
                    "NOT EXISTS (SELECT FROM billing_invoice WHERE id = NEW.invoice_id"
                    " AND status = 'issued' AND kind <> 'credit_note'"
                    " AND due_on < NEW.reminded_on)"
                ),
            ),
        ]

    def __str__(self) -> str:
        return self.subject
