"""Money that came in from clients, and money that went back to them."""

from typing import ClassVar

import pgtrigger
from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Round

from billing.models.bank_statements import StatementEntry
from billing.models.book_entries import (
    LEFT,
    BookEntry,
    amount_rounded,
    entry_guards,
    lock_client,
    reason_given,
    within_payment,
)
from shop.models import Client
from shop.models.guards import Guard


class PaymentMethod(models.TextChoices):
    """How money changed hands."""

    TRANSFER = "transfer", "Bank transfer"
    DIRECT_DEBIT = "direct_debit", "Direct debit"
    CARD = "card", "Card"
    CASH = "cash", "Cash"
    CHEQUE = "cheque", "Cheque"
    OTHER = "other", "Other"


METHOD_KNOWN = models.CheckConstraint(
    name="%(app_label)s_%(class)s_method_known",
    condition=Q(method__in=PaymentMethod.values),
    violation_error_code="method-unknown",
    violation_error_message="The method of payment is not one that there is.",
)


class Payment(BookEntry):
    """Money received from a client.

    What of it is neither allocated to invoices nor refunded is the client's credit. A reversal says
    that the money never came, or went back without our doing.
    """

    client = models.ForeignKey(Client, on_delete=models.PROTECT, related_name="payments")
    currency = models.CharField(max_length=3)
    minor_units = models.PositiveSmallIntegerField()
    method = models.CharField(max_length=20, choices=PaymentMethod)
    reference = models.CharField(max_length=140, blank=True)
    statement_entry = models.ForeignKey(
        StatementEntry, on_delete=models.PROTECT, related_name="payments", null=True, blank=True
    )

    class Meta:
        constraints: ClassVar = [
            *BookEntry.Meta.constraints,
            METHOD_KNOWN,
            models.CheckConstraint(
                name="billing_payment_currency_code",
                condition=Q(currency__regex="^[A-Z]{3}$", minor_units__lte=3),
                violation_error_code="currency-unknown",
                violation_error_message="The currency is three capital letters (ISO 4217).",
            ),
            models.CheckConstraint(
                name="billing_payment_amount_rounded",
                condition=Q(amount=Round(F("amount"), F("minor_units"))),  # type: ignore[arg-type]
                violation_error_code="amount-too-fine",
                violation_error_message="An amount has no more decimals than the currency.",
            ),
        ]
        indexes: ClassVar = [
            models.Index(fields=["booked_on", "id"], name="billing_payment_by_day"),
            models.Index(fields=["client", "booked_on"], name="billing_payment_by_client"),
        ]
        triggers: ClassVar = [
            *entry_guards("billing_payment", "Payments", ["client_id", "currency", "method"]),
            Guard(
                name="billing_payment_reversed_unspent",
                code="payment-in-use",
                message="A payment is reversed once nothing of it is allocated or refunded.",
                when=pgtrigger.After,
                operation=pgtrigger.Insert,
                condition=pgtrigger.Q(new__reverses__isnull=False),
                declare=[("remaining", "numeric")],
                before_check=lock_client("NEW.client_id") + LEFT.format(payment="NEW.reverses_id"),
                refuse_when="remaining <> 0",
            ),
            Guard(
                name="billing_payment_within_entry",
                code="beyond-entry",
                message="No more is recorded than a statement says came in, in its currency.",
                when=pgtrigger.After,
                operation=pgtrigger.Insert,
                condition=pgtrigger.Q(new__statement_entry__isnull=False),
                declare=[("came_in", "numeric")],
                # The entry is locked, so that it is not recorded twice at once.
                before_check="""
                    SELECT amount INTO came_in FROM billing_statemententry
                        WHERE id = NEW.statement_entry_id AND dismissal_reason = ''
                            AND NEW.currency = (SELECT currency FROM billing_bankstatement
                                WHERE id = statement_id)
                        FOR UPDATE;
                """,
                refuse_when=(
                    "came_in IS NULL OR came_in < (SELECT sum(amount) FROM billing_payment"
                    " WHERE statement_entry_id = NEW.statement_entry_id)"
                ),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.amount} on {self.booked_on}"


class Refund(BookEntry):
    """Money given back of a payment's credit."""

    payment = models.ForeignKey(Payment, on_delete=models.PROTECT, related_name="refunds")
    method = models.CharField(max_length=20, choices=PaymentMethod)
    reference = models.CharField(max_length=140, blank=True)

    class Meta:
        constraints: ClassVar = [
            *BookEntry.Meta.constraints,
            METHOD_KNOWN,
            reason_given("billing_refund", "A refund"),
        ]
        indexes: ClassVar = [models.Index(fields=["booked_on", "id"], name="billing_refund_by_day")]
        triggers: ClassVar = [
            *entry_guards("billing_refund", "Refunds", ["payment_id", "method"]),
            within_payment("billing_refund"),
            amount_rounded("billing_refund", "payment"),
            Guard(
                name="billing_refund_after_payment",
                code="before-payment",
                message="Money goes back on the day on which it came in, or later.",
                operation=pgtrigger.Insert,
                refuse_when=(
                    "NEW.booked_on < (SELECT booked_on FROM billing_payment"
                    " WHERE id = NEW.payment_id)"
                ),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.amount} back on {self.booked_on}"
