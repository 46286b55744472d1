"""What was paid."""

from typing import ClassVar

import pgtrigger
from django.conf import settings
from django.db import models
from django.db.models import Q

from billing.models.documents import amount_field
from billing.models.invoices import Invoice
from shop.models.guards import Guard, append_only


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
                    SELECT payable_total INTO due FROM billing_invoice
                        WHERE id = NEW.invoice_id AND status = 'issued' AND kind <> 'credit_note'
                        FOR UPDATE;
                    due := due - (SELECT COALESCE(sum(payable_total), 0) FROM billing_invoice
                        WHERE corrects_id = NEW.invoice_id AND status = 'issued');
                """,
                refuse_when=(
                    "due IS NULL OR due < (SELECT sum(amount) FROM billing_payment"
                    " WHERE invoice_id = NEW.invoice_id)"
                ),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.amount} on {self.received_on}"
