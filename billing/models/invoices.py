"""What is owed: number series, and the invoices that bear their numbers."""

from typing import ClassVar

import pghistory
import pgtrigger
from django.conf import settings
from django.db import models
from django.db.models import F, Q

from billing.models.documents import Document, DocumentLine, DocumentTax, totals_tie
from billing.models.quotes import Quote
from shop.models import Client
from shop.models.guards import Guard, no_truncate, status_edges


class NumberSeries(models.Model):
    """The last number given out in a series and year. Numbers go up by one, without gaps.

    The row is locked by whoever takes the next number until their transaction ends.
    """

    code = models.CharField(max_length=20)
    year = models.PositiveSmallIntegerField()
    last_number = models.PositiveIntegerField(default=0)

    class Meta:
        verbose_name_plural = "number series"
        constraints: ClassVar = [
            models.UniqueConstraint(
                name="billing_numberseries_once",
                fields=["code", "year"],
                violation_error_code="series-exists",
                violation_error_message="There is one series of a code and year.",
            ),
        ]
        triggers: ClassVar = [
            Guard(
                name="billing_numberseries_by_one",
                code="number-skipped",
                message="Numbers are given out one after the other.",
                operation=pgtrigger.Update,
                refuse_when=(
                    "NEW.last_number <> OLD.last_number + 1 OR NEW.code <> OLD.code"
                    " OR NEW.year <> OLD.year"
                ),
            ),
            Guard(
                name="billing_numberseries_no_gap",
                code="number-skipped",
                message="A number is given out together with the invoice that bears it.",
                when=pgtrigger.After,
                timing=pgtrigger.Deferred,
                operation=pgtrigger.Update,
                refuse_when=(
                    "NOT EXISTS (SELECT FROM billing_invoice"
                    " WHERE series_id = NEW.id AND sequence = NEW.last_number)"
                ),
            ),
            Guard(
                name="billing_numberseries_from_nothing",
                code="number-skipped",
                message="A new series starts with no number given out.",
                operation=pgtrigger.Insert,
                refuse_when="NEW.last_number <> 0",
            ),
            Guard(
                name="billing_numberseries_kept",
                code="number-skipped",
                message="A series is kept for as long as its numbers count.",
                operation=pgtrigger.Delete,
            ),
            no_truncate("billing_numberseries", "A series is kept."),
        ]

    def __str__(self) -> str:
        return f"{self.code} {self.year}: {self.last_number}"


class InvoiceStatus(models.TextChoices):
    """A draft can still change; an issued invoice never does."""

    DRAFT = "draft", "Draft"
    ISSUED = "issued", "Issued"


ISSUED_STAYS = "Issued invoices are never changed or removed; a credit note corrects them."


@pghistory.track(pghistory.UpdateEvent(), fields=["status", "number"])
class Invoice(Document):
    """A demand for payment. Seller and buyer are kept as they were when it was issued."""

    quote = models.OneToOneField(
        Quote, on_delete=models.PROTECT, related_name="invoice", null=True, blank=True
    )
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
            no_truncate("billing_invoice", ISSUED_STAYS),
        ]

    def __str__(self) -> str:
        return f"invoice {self.number or self.pk}"


def frozen_once_issued(model: str) -> list[Guard]:
    """Return the guards that freeze rows of an issued invoice."""
    whose = (
        "(CASE WHEN TG_OP <> 'INSERT' THEN OLD.invoice_id END,"
        " CASE WHEN TG_OP <> 'DELETE' THEN NEW.invoice_id END)"
    )
    return [
        Guard(
            name=f"{model}_issued_stays",
            code="invoice-issued",
            message=ISSUED_STAYS,
            operation=pgtrigger.Insert | pgtrigger.Update | pgtrigger.Delete,
            # The invoice is locked, so that no row slips in while somebody issues it.
            before_check=f"PERFORM FROM billing_invoice WHERE id IN {whose} FOR SHARE;",
            refuse_when=(
                f"EXISTS (SELECT FROM billing_invoice WHERE status = 'issued' AND id IN {whose})"
            ),
        ),
        no_truncate(model, ISSUED_STAYS),
    ]


class InvoiceLine(DocumentLine):
    """A line of an invoice."""

    # Its index is that of the unique constraint below.
    invoice = models.ForeignKey(
        Invoice, on_delete=models.CASCADE, related_name="lines", db_index=False
    )

    class Meta(DocumentLine.Meta):
        constraints: ClassVar = [
            *DocumentLine.Meta.constraints,
            models.UniqueConstraint(
                name="billing_invoiceline_position_once",
                fields=["invoice", "position"],
                violation_error_code="position-taken",
                violation_error_message="An invoice has one line at a position.",
            ),
        ]
        triggers: ClassVar = frozen_once_issued("billing_invoiceline")


class InvoiceTax(DocumentTax):
    """The tax of one rate on an invoice."""

    # Its index is that of the unique constraint below.
    invoice = models.ForeignKey(
        Invoice, on_delete=models.CASCADE, related_name="taxes", db_index=False
    )

    class Meta(DocumentTax.Meta):
        constraints: ClassVar = [
            *DocumentTax.Meta.constraints,
            models.UniqueConstraint(
                name="billing_invoicetax_rate_once",
                fields=["invoice", "tax_code", "tax_percent"],
                violation_error_code="rate-taken",
                violation_error_message="An invoice sums up each tax once.",
            ),
        ]
        triggers: ClassVar = frozen_once_issued("billing_invoicetax")
