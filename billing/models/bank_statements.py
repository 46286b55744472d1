"""What the bank says came in: its statements, kept as they were read."""

from typing import ClassVar

import pgtrigger
from django.conf import settings
from django.db import models
from django.db.models import Q

from billing.models.documents import amount_field
from shop.models.guards import Guard, append_only, no_truncate


class StatementFormat(models.TextChoices):
    """How a statement came."""

    CAMT_053 = "camt.053", "ISO 20022 camt.053"
    CSV = "csv", "CSV"
    JSON = "json", "JSON"


class BankStatement(models.Model):
    """A statement of an account, of which each is kept once.

    `content_sha256` is of the bytes that were sent, so that the same file is known again.
    """

    identifier = models.CharField(max_length=100)
    account = models.CharField(max_length=34)
    currency = models.CharField(max_length=3)
    opening_balance = amount_field()
    closing_balance = amount_field()
    format = models.CharField(max_length=10, choices=StatementFormat)
    content_sha256 = models.CharField(max_length=64)
    imported_at = models.DateTimeField()
    imported_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(
                name="billing_bankstatement_kept_once",
                fields=["account", "identifier"],
                violation_error_code="statement-known",
                violation_error_message="This statement of the account is kept already.",
            ),
            models.CheckConstraint(
                name="billing_bankstatement_format_known",
                condition=Q(format__in=StatementFormat.values),
                violation_error_code="format-unknown",
                violation_error_message="A statement comes as camt.053, CSV or JSON.",
            ),
            models.CheckConstraint(
                name="billing_bankstatement_named",
                condition=~Q(identifier="") & ~Q(account=""),
                violation_error_code="name-missing",
                violation_error_message="A statement has an identifier and an account.",
            ),
        ]
        indexes: ClassVar = [
            models.Index(fields=["imported_at", "id"], name="billing_statement_by_time"),
            models.Index(fields=["content_sha256"], name="billing_statement_by_content"),
        ]
        triggers: ClassVar = [*append_only("billing_bankstatement", "Statements")]

    def __str__(self) -> str:
        return f"{self.identifier} of {self.account}"


class StatementEntry(models.Model):
    """An entry of a statement: more than nothing came in, less went out.

    `entry_reference` is the bank's, and occurs once in an account. Dismissed is what no client
    paid; nothing else of an entry ever changes.
    """

    statement = models.ForeignKey(BankStatement, on_delete=models.PROTECT, related_name="entries")
    account = models.CharField(max_length=34)
    entry_reference = models.CharField(max_length=140)
    booked_on = models.DateField()
    amount = amount_field()
    payer_name = models.CharField(max_length=140, blank=True)
    payer_account = models.CharField(max_length=34, blank=True)
    reference = models.CharField(max_length=140, blank=True)
    text = models.TextField(blank=True)
    dismissal_reason = models.CharField(max_length=300, blank=True)

    class Meta:
        verbose_name_plural = "statement entries"
        constraints: ClassVar = [
            models.UniqueConstraint(
                name="billing_statemententry_counted_once",
                fields=["account", "entry_reference"],
                violation_error_code="entry-known",
                violation_error_message="This entry of the account is kept already.",
            ),
            models.CheckConstraint(
                name="billing_statemententry_moves_money",
                condition=~Q(amount=0) & ~Q(entry_reference=""),
                violation_error_code="amount-zero",
                violation_error_message="An entry has a reference, and its amount is not nothing.",
            ),
        ]
        indexes: ClassVar = [
            models.Index(fields=["booked_on", "id"], name="billing_entry_by_day"),
        ]
        triggers: ClassVar = [
            Guard(
                name="billing_statemententry_stays",
                code="append-only",
                message="Entries stay as the bank sent them; they are dismissed or taken up again.",
                operation=pgtrigger.Update | pgtrigger.Delete,
                refuse_when=(
                    "TG_OP = 'DELETE' OR to_jsonb(OLD) - 'dismissal_reason'"
                    " <> to_jsonb(NEW) - 'dismissal_reason'"
                ),
            ),
            Guard(
                name="billing_statemententry_dismissed_open",
                code="entry-recorded",
                message="An entry of which payments are recorded is not dismissed.",
                operation=pgtrigger.Update,
                refuse_when=(
                    "NEW.dismissal_reason <> '' AND (SELECT sum(amount) FROM billing_payment"
                    " WHERE statement_entry_id = NEW.id) <> 0"
                ),
            ),
            Guard(
                name="billing_statemententry_same_account",
                code="account-differs",
                message="An entry is of its statement's account.",
                operation=pgtrigger.Insert,
                refuse_when=(
                    "NEW.account <> (SELECT account FROM billing_bankstatement"
                    " WHERE id = NEW.statement_id)"
                ),
            ),
            no_truncate("billing_statemententry", "Entries are never removed."),
        ]

    def __str__(self) -> str:
        return f"{self.amount} on {self.booked_on}"
