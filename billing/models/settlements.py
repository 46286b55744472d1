"""How invoices are settled: by what of payments is allocated to them, or by writing off."""

from typing import ClassVar

import pgtrigger
from django.db import models

from billing.models.book_entries import (
    BookEntry,
    amount_rounded,
    entry_guards,
    reason_given,
    within_owed,
    within_payment,
)
from billing.models.invoices import Invoice
from billing.models.payments import Payment
from shop.models.guards import Guard


class Allocation(BookEntry):
    """What of a payment settles an invoice of the same client."""

    payment = models.ForeignKey(Payment, on_delete=models.PROTECT, related_name="allocations")
    invoice = models.ForeignKey(Invoice, on_delete=models.PROTECT, related_name="allocations")

    class Meta(BookEntry.Meta):
        indexes: ClassVar = [
            models.Index(fields=["booked_on", "id"], name="billing_allocation_by_day")
        ]
        triggers: ClassVar = [
            *entry_guards("billing_allocation", "Allocations", ["payment_id", "invoice_id"]),
            within_owed("billing_allocation"),
            within_payment("billing_allocation"),
            amount_rounded("billing_allocation", "invoice"),
            Guard(
                name="billing_allocation_same_client",
                code="other-client",
                message=(
                    "A payment settles invoices of its client and currency, from the day on which"
                    " there are both."
                ),
                operation=pgtrigger.Insert,
                refuse_when="""
                    NOT EXISTS (SELECT FROM billing_payment AS payment, billing_invoice AS invoice
                        WHERE payment.id = NEW.payment_id AND invoice.id = NEW.invoice_id
                            AND payment.client_id = invoice.client_id
                            AND payment.currency = invoice.currency
                            AND payment.booked_on <= NEW.booked_on
                            AND COALESCE(invoice.issued_on <= NEW.booked_on, TRUE))
                """,
            ),
        ]

    def __str__(self) -> str:
        return f"{self.amount} of payment {self.payment_id} to invoice {self.invoice_id}"


class WriteOff(BookEntry):
    """What of an invoice nobody expects to be paid any more, and why."""

    invoice = models.ForeignKey(Invoice, on_delete=models.PROTECT, related_name="write_offs")

    class Meta:
        constraints: ClassVar = [
            *BookEntry.Meta.constraints,
            reason_given("billing_writeoff", "A write-off"),
        ]
        indexes: ClassVar = [
            models.Index(fields=["booked_on", "id"], name="billing_writeoff_by_day")
        ]
        triggers: ClassVar = [
            *entry_guards("billing_writeoff", "Write-offs", ["invoice_id"]),
            within_owed("billing_writeoff"),
            amount_rounded("billing_writeoff", "invoice"),
            Guard(
                name="billing_writeoff_after_issue",
                code="before-issue",
                message="An invoice is written off on the day of its issue or later.",
                operation=pgtrigger.Insert,
                refuse_when=(
                    "NEW.booked_on < (SELECT issued_on FROM billing_invoice"
                    " WHERE id = NEW.invoice_id)"
                ),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.amount} of invoice {self.invoice_id} written off"
