"""What is owed: invoices of every kind, and the credit notes that take them back."""

from typing import ClassVar

import pghistory
import pgtrigger
from django.conf import settings
from django.db import models
from django.db.models import F, Q

from billing.models.book_entries import OWED, lock_client
from billing.models.documents import Document, totals_tie
from billing.models.number_series import NumberSeries
from billing.models.quotes import Quote
from shop.models import Client
from shop.models.guards import Guard, no_truncate, status_edges


class InvoiceKind(models.TextChoices):
    """What a document of the invoice family is for."""

    INVOICE = "invoice", "Invoice"
    DEPOSIT = "deposit", "Deposit invoice"
    PART = "part", "Part invoice"
    FINAL = "final", "Final invoice"
    CREDIT_NOTE = "credit_note", "Credit note"


class InvoiceStatus(models.TextChoices):
    """A draft can still change; an issued invoice never does."""

    DRAFT = "draft", "Draft"
    ISSUED = "issued", "Issued"


ISSUED_STAYS = "Issued invoices are never changed or removed; a credit note corrects them."


@pghistory.track(pghistory.UpdateEvent(), fields=["status", "number"])
class Invoice(Document):
    """A demand for payment, or a credit note, which takes one back in whole or in part.

    A credit note's amounts are positive; `corrects` is the invoice whose demand they lower, and
    `reason` says why. Seller and buyer are kept as they were when it was issued. `reference` is
    what the payer quotes: a structured creditor reference (ISO 11649).
    """

    kind = models.CharField(max_length=20, choices=InvoiceKind, default=InvoiceKind.INVOICE)
    quote = models.ForeignKey(
        Quote, on_delete=models.PROTECT, related_name="invoices", null=True, blank=True
    )
    corrects = models.ForeignKey(
        "self", on_delete=models.PROTECT, related_name="credit_notes", null=True, blank=True
    )
    reason = models.CharField(max_length=300, blank=True)
    client = models.ForeignKey(Client, on_delete=models.PROTECT, related_name="invoices")
    status = models.CharField(max_length=20, choices=InvoiceStatus, default=InvoiceStatus.DRAFT)
    drafted_at = models.DateTimeField()
    drafted_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    series = models.ForeignKey(
        NumberSeries, on_delete=models.PROTECT, related_name="invoices", null=True, blank=True
    )
    sequence = models.PositiveIntegerField(null=True, blank=True)
    number = models.CharField(max_length=30, blank=True)
    reference = models.CharField(max_length=25, blank=True)
    payment_terms = models.TextField(blank=True)
    issued_on = models.DateField(null=True, blank=True)
    due_on = models.DateField(null=True, blank=True)
    seller = models.JSONField(null=True, blank=True)
    buyer = models.JSONField(null=True, blank=True)

    class Meta:
        constraints: ClassVar = [
            *Document.Meta.constraints,
            models.CheckConstraint(
                name="billing_invoice_status_known",
                condition=Q(status__in=InvoiceStatus.values),
                violation_error_code="status-unknown",
                violation_error_message="An invoice is a draft or issued.",
            ),
            models.CheckConstraint(
                name="billing_invoice_kind_known",
                condition=Q(kind__in=InvoiceKind.values),
                violation_error_code="kind-unknown",
                violation_error_message="The kind of invoice is not one that there is.",
            ),
            models.CheckConstraint(
                name="billing_invoice_correction",
                condition=Q(~Q(reason=""), kind=InvoiceKind.CREDIT_NOTE, corrects__isnull=False)
                | Q(~Q(kind=InvoiceKind.CREDIT_NOTE), corrects__isnull=True),
                violation_error_code="correction-incomplete",
                violation_error_message=(
                    "A credit note, and nothing else, corrects an invoice, and says why."
                ),
            ),
            models.CheckConstraint(
                name="billing_invoice_issued_complete",
                condition=Q(~Q(status=InvoiceStatus.ISSUED), sequence__isnull=True, number="")
                | Q(
                    ~Q(number=""),
                    status=InvoiceStatus.ISSUED,
                    series__isnull=False,
                    sequence__isnull=False,
                    issued_on__isnull=False,
                    due_on__isnull=False,
                    due_on__gte=F("issued_on"),
                    seller__isnull=False,
                    buyer__isnull=False,
                ),
                violation_error_code="invoice-incomplete",
                violation_error_message=(
                    "An issued invoice has number, days, seller and buyer; a draft has no number."
                ),
            ),
            models.UniqueConstraint(
                name="billing_invoice_number_once",
                fields=["series", "sequence"],
                violation_error_code="number-taken",
                violation_error_message="An invoice of this number exists already.",
            ),
            models.UniqueConstraint(
                name="billing_invoice_one_draft",
                fields=["quote"],
                condition=Q(status=InvoiceStatus.DRAFT),
                violation_error_code="already-invoiced",
                violation_error_message="A draft invoice of the quote is open already.",
            ),
        ]
        indexes: ClassVar = [
            models.Index(fields=["client", "issued_on"], name="billing_invoice_by_client"),
            models.Index(fields=["drafted_at", "id"], name="billing_invoice_by_time"),
        ]
        triggers: ClassVar = [
            *status_edges(
                "billing_invoice",
                {InvoiceStatus.DRAFT: [InvoiceStatus.ISSUED]},
                InvoiceStatus.DRAFT,
            ),
            *totals_tie("billing_invoice", "invoice_id"),
            Guard(
                name="billing_invoice_issued_stays",
                code="invoice-issued",
                message=ISSUED_STAYS,
                operation=pgtrigger.Update | pgtrigger.Delete,
                refuse_when="OLD.status = 'issued'",
            ),
            Guard(
                name="billing_invoice_next_number",
                code="number-skipped",
                message="An invoice takes the number its series gave out last.",
                operation=pgtrigger.Update,
                refuse_when=(
                    "NEW.status = 'issued' AND NOT EXISTS (SELECT FROM billing_numberseries"
                    " WHERE id = NEW.series_id AND last_number = NEW.sequence)"
                ),
            ),
            Guard(
                name="billing_invoice_credits_issued",
                code="credit-of-nothing",
                message="A credit note corrects an issued invoice of the same client and currency.",
                operation=pgtrigger.Insert | pgtrigger.Update,
                refuse_when=(
                    "NEW.corrects_id IS NOT NULL AND NOT EXISTS (SELECT FROM billing_invoice"
                    " WHERE id = NEW.corrects_id AND status = 'issued' AND kind <> 'credit_note'"
                    " AND client_id = NEW.client_id AND currency = NEW.currency)"
                ),
            ),
            Guard(
                name="billing_invoice_credit_within",
                code="credit-beyond-left",
                message="Credit notes take back no more than the invoice demanded.",
                when=pgtrigger.After,
                operation=pgtrigger.Insert | pgtrigger.Update,
                condition=pgtrigger.Q(new__kind="credit_note"),
                declare=[("demanded", "numeric")],
                # The invoice is locked, so that two credit notes cannot both fit into what is left.
                before_check="""
                    SELECT payable_total INTO demanded FROM billing_invoice
                        WHERE id = NEW.corrects_id FOR UPDATE;
                """,
                refuse_when=(
                    "demanded < (SELECT sum(payable_total) FROM billing_invoice"
                    " WHERE corrects_id = NEW.corrects_id)"
                ),
            ),
            Guard(
                name="billing_invoice_credited_unsettled",
                code="credit-of-settled",
                message="What a credit note takes back was paid; release what was allocated first.",
                when=pgtrigger.After,
                operation=pgtrigger.Update,
                condition=pgtrigger.Q(new__kind="credit_note", new__status="issued"),
                declare=[("owed", "numeric")],
                before_check=lock_client("NEW.client_id") + OWED.format(invoice="NEW.corrects_id"),
                refuse_when="owed < 0",
            ),
            no_truncate("billing_invoice", ISSUED_STAYS),
        ]

    def __str__(self) -> str:
        return f"invoice {self.number or self.pk}"
