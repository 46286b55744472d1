"""What the rows of money's books have in common: added, never changed, taken back by a reversal."""

from collections.abc import Iterable
from typing import ClassVar

import pgtrigger
from django.conf import settings
from django.db import models
from django.db.models import Q

from billing.models.documents import amount_field
from shop.models.guards import Guard, append_only


class BookEntry(models.Model):
    """An amount that counts from the day `booked_on`.

    A reversal names in `reverses` the row that it takes back whole; its amount is less than
    nothing, so that sums come out right without looking at what was reversed.
    """

    amount = amount_field()
    booked_on = models.DateField()
    reason = models.CharField(max_length=300, blank=True)
    reverses = models.ForeignKey(
        "self", on_delete=models.PROTECT, related_name="reversals", null=True, blank=True
    )
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        abstract = True
        constraints: ClassVar = [
            models.CheckConstraint(
                name="%(app_label)s_%(class)s_amount_signed",
                condition=Q(reverses__isnull=True, amount__gt=0)
                | Q(~Q(reason=""), reverses__isnull=False, amount__lt=0),
                violation_error_code="amount-not-positive",
                violation_error_message=(
                    "An amount is more than nothing; a reversal's is less, and says why."
                ),
            ),
            models.UniqueConstraint(
                name="%(app_label)s_%(class)s_reversed_once",
                fields=["reverses"],
                violation_error_code="already-reversed",
                violation_error_message="This was reversed before.",
            ),
        ]


def reason_given(model: str, what: str) -> models.CheckConstraint:
    """Return the check that every row of `model` says why."""
    return models.CheckConstraint(
        name=f"{model}_reason_given",
        condition=~Q(reason=""),
        violation_error_code="reason-missing",
        violation_error_message=f"{what} says why.",
    )


def entry_guards(model: str, rows: str, same: Iterable[str]) -> list[Guard]:
    """Return the guards of a book whose reversals share the columns `same` with what they reverse.

    `model` is `<app>_<model>`, `rows` the plural that a refusal's sentence starts with.
    """
    shared = "".join(f" AND entry.{column} = NEW.{column}" for column in same)
    return [
        *append_only(model, rows),
        Guard(
            name=f"{model}_reverses_whole",
            code="reversal-differs",
            message="A reversal takes back the whole of one row, not before that row's day.",
            operation=pgtrigger.Insert,
            condition=pgtrigger.Q(new__reverses__isnull=False),
            refuse_when=f"""
                NOT EXISTS (SELECT FROM {model} AS entry
                    WHERE entry.id = NEW.reverses_id AND entry.reverses_id IS NULL
                        AND entry.amount = -NEW.amount AND entry.booked_on <= NEW.booked_on{shared})
            """,
        ),
    ]


def lock_client(of: str) -> str:
    """Return the statement that lets one transaction at a time work on a client's money.

    `of` is a subquery for the client's key. Key-sharing locks of new rows are not kept waiting.
    """
    return f"PERFORM FROM shop_client WHERE id = ({of}) FOR NO KEY UPDATE;"


OWED = """
    SELECT invoice.payable_total
        - (SELECT COALESCE(sum(note.payable_total), 0) FROM billing_invoice AS note
            WHERE note.corrects_id = invoice.id AND note.status = 'issued')
        - (SELECT COALESCE(sum(amount), 0) FROM billing_allocation WHERE invoice_id = invoice.id)
        - (SELECT COALESCE(sum(amount), 0) FROM billing_writeoff WHERE invoice_id = invoice.id)
    INTO owed FROM billing_invoice AS invoice
    WHERE invoice.id = {invoice} AND invoice.status = 'issued' AND invoice.kind <> 'credit_note';
"""
LEFT = """
    SELECT (SELECT COALESCE(sum(amount), 0) FROM billing_payment
            WHERE payment.id IN (id, reverses_id))
        - (SELECT COALESCE(sum(amount), 0) FROM billing_allocation WHERE payment_id = payment.id)
        - (SELECT COALESCE(sum(amount), 0) FROM billing_refund WHERE payment_id = payment.id)
    INTO remaining FROM billing_payment AS payment
    WHERE payment.id = {payment} AND payment.reverses_id IS NULL;
"""
CLIENT_OF_INVOICE = "SELECT client_id FROM billing_invoice WHERE id = NEW.invoice_id"
CLIENT_OF_PAYMENT = "SELECT client_id FROM billing_payment WHERE id = NEW.payment_id"


def within_owed(model: str) -> Guard:
    """Return the guard that settles no more of an issued invoice than it owes."""
    return Guard(
        name=f"{model}_within_owed",
        code="beyond-due",
        message="That is more than is still due on an issued invoice.",
        when=pgtrigger.After,
        operation=pgtrigger.Insert,
        declare=[("owed", "numeric")],
        before_check=lock_client(CLIENT_OF_INVOICE) + OWED.format(invoice="NEW.invoice_id"),
        refuse_when="owed IS NULL OR owed < 0",
    )


def within_payment(model: str) -> Guard:
    """Return the guard that gives out no more of a payment than is left of it."""
    return Guard(
        name=f"{model}_within_payment",
        code="beyond-payment",
        message="That is more than is left of the payment.",
        when=pgtrigger.After,
        operation=pgtrigger.Insert,
        declare=[("remaining", "numeric")],
        before_check=lock_client(CLIENT_OF_PAYMENT) + LEFT.format(payment="NEW.payment_id"),
        refuse_when="remaining IS NULL OR remaining < 0",
    )


def amount_rounded(model: str, of: str) -> Guard:
    """Return the guard that keeps amounts to the decimals of the currency of the row `of`."""
    return Guard(
        name=f"{model}_amount_rounded",
        code="amount-too-fine",
        message="An amount has no more decimals than the currency.",
        operation=pgtrigger.Insert,
        refuse_when=(
            "NEW.amount <> round(NEW.amount,"
            f" (SELECT minor_units FROM billing_{of} WHERE id = NEW.{of}_id))"
        ),
    )
