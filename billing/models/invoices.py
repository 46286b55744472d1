"""What is owed and what was paid."""

from typing import ClassVar

import pgtrigger
from django.conf import settings
from django.db import models
from django.db.models import F, Q

from billing.models.documents import (
    Document,
    DocumentLine,
    DocumentTax,
    amount_field,
    totals_tie,
)
from billing.models.quotes import Quote
from shop.models import Client
from shop.models.guards import Guard, append_only, no_truncate, status_edges


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
            models.UniqueConstraint(name="billing_numberseries_once", fields=["code", "year"]),
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
                condition=Q(status=InvoiceStatus.DRAFT, sequence__isnull=True, number="")
                | Q(
                    ~Q(number=""),
                    status=InvoiceStatus.ISSUED,
                    series__isnull=False,
                    sequence__isnull=False,
                    issued_on__isnull=False,
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
                name="billing_invoice_number_once", fields=["series", "sequence"]
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
    return [
        Guard(
            name=f"{model}_issued_stays",
            code="invoice-issued",
            message=ISSUED_STAYS,
            operation=pgtrigger.Insert | pgtrigger.Update | pgtrigger.Delete,
            refuse_when=(
                "EXISTS (SELECT FROM billing_invoice WHERE status = 'issued' AND id IN ("
                "CASE WHEN TG_OP <> 'INSERT' THEN OLD.invoice_id END,"
                " CASE WHEN TG_OP <> 'DELETE' THEN NEW.invoice_id END))"
            ),
        ),
        no_truncate(model, ISSUED_STAYS),
    ]


class InvoiceLine(DocumentLine):
    """A line of an invoice."""

    invoice = models.ForeignKey(Invoice, on_delete=models.CASCADE, related_name="lines")

    class Meta(DocumentLine.Meta):
        constraints: ClassVar = [
            *DocumentLine.Meta.constraints,
            models.UniqueConstraint(
                name="billing_invoiceline_position_once", fields=["invoice", "position"]
            ),
        ]
        triggers: ClassVar = frozen_once_issued("billing_invoiceline")


class InvoiceTax(DocumentTax):
    """The tax of one rate on an invoice."""

    invoice = models.ForeignKey(Invoice, on_delete=models.CASCADE, related_name="taxes")

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(
                name="billing_invoicetax_rate_once", fields=["invoice", "tax_code", "tax_percent"]
            ),
        ]
        triggers: ClassVar = frozen_once_issued("billing_invoicetax")


class PaymentMethod(models.TextChoices):
    """How money came in."""

    TRANSFER = "transfer", "Bank transfer"
    CARD = "card", "Card"
    CASH = "cash", "Cash"
    CHEQUE = "cheque", "Cheque"


class Payment(models.Model):
    """Money received for one invoice, in the invoice's currency."""

    invoice = models.ForeignKey(Invoice, on_delete=models.PROTECT, related_name="payments")
    amount = amount_field()
    method = models.CharField(max_length=20, choices=PaymentMethod)
    received_on = models.DateField()
    reference = models.CharField(max_length=140, blank=True)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(
                name="billing_payment_amount_positive",
                condition=Q(amount__gt=0),
                violation_error_code="amount-not-positive",
                violation_error_message="A payment is more than nothing.",
            ),
            models.CheckConstraint(
                name="billing_payment_method_known",
                condition=Q(method__in=PaymentMethod.values),
                violation_error_code="method-unknown",
                violation_error_message="The method is transfer, card, cash or cheque.",
            ),
        ]
        indexes: ClassVar = [
            models.Index(fields=["received_on", "id"], name="billing_payment_by_day")
        ]
        triggers: ClassVar = [
            *append_only("billing_payment", "Payments"),
            Guard(
                name="billing_payment_within_due",
                code="paid-beyond-due",
                message="That is more than is still due on an issued invoice.",
                when=pgtrigger.After,
                operation=pgtrigger.Insert,
                declare=[("due", "numeric")],
                # The invoice is locked, so that two payments cannot both fit into what is left.
                before_check="""
                    SELECT gross_total INTO due FROM billing_invoice
                        WHERE id = NEW.invoice_id AND status = 'issued' FOR UPDATE;
                """,
                refuse_when=(
                    "due IS NULL OR due < (SELECT sum(amount) FROM billing_payment"
                    " WHERE invoice_id = NEW.invoice_id)"
                ),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.amount} on {self.received_on}"
