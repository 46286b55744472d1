"""What the books of money have in common: what is sent, what is shown, and how it is reversed."""

from datetime import date
from decimal import Decimal
from typing import Any, ClassVar

from django.utils import timezone
from rest_framework import serializers
from rest_framework.response import Response

from billing.actions.book_entries import Recorded
from billing.actions.payments import Money
from billing.models import BookEntry, PaymentMethod
from billing.rules.settling import Share
from shop.http.amounts import AmountField
from shop.http.permissions import OFFICE, grants
from shop.http.records import Listed, Retrieved
from shop.http.serializers import RowSerializer, StrictSerializer, TextField
from shop.http.verbs import verb
from shop.http.views import Values

MOST_SHARES = 200
ENTRY_FIELDS = ("id", "amount", "booked_on", "reason", "reverses", "is_reversed", "recorded_at")


def positive_amount(**options: Any) -> serializers.DecimalField:
    """Return the field of an amount above nothing."""
    return serializers.DecimalField(
        max_digits=14, decimal_places=3, min_value=Decimal("0.001"), **options
    )


class MoneyInput(StrictSerializer):
    """Money that changed hands, in the shop's currency; the day is today when left out."""

    amount = positive_amount()
    method = serializers.ChoiceField(choices=PaymentMethod.choices)
    booked_on = serializers.DateField(required=False)
    reference = TextField(max_length=140, default="", allow_blank=True)

    default_error_messages: ClassVar = {"to_come": "This day is still to come."}

    def validate_booked_on(self, day: date) -> date:
        """Return the day.

        Raises:
            ValidationError: it is still to come.
        """
        if day > timezone.localdate():
            self.fail("to_come")
        return day


class ShareInput(StrictSerializer):
    """What of a payment settles an invoice."""

    invoice = serializers.IntegerField(min_value=1)
    amount = positive_amount()


class SharesField(serializers.ListField):
    """Shares of a payment, each for another invoice."""

    child = ShareInput()
    default_error_messages: ClassVar = {"twice": "Each invoice is named once."}

    def __init__(self, **options: Any) -> None:
        super().__init__(max_length=MOST_SHARES, **options)

    def to_internal_value(self, data: Any) -> list[Share]:
        """Return the shares.

        Raises:
            ValidationError: a share is wrong, or an invoice is named twice.
        """
        shares = [
            Share(each["invoice"], each["amount"]) for each in super().to_internal_value(data)
        ]
        if len({share.row_id for share in shares}) < len(shares):
            self.fail("twice")
        return shares


class ReasonInput(StrictSerializer):
    """Why it is done."""

    reason = TextField(max_length=300)


class BookEntryOutput(RowSerializer):
    """A row of a book of money; a reversal's amount is less than nothing."""

    amount = AmountField()
    is_reversed = serializers.BooleanField()


def money_of(values: Values) -> Money:
    """Return the money that a body with the fields of `MoneyInput` speaks of."""
    return Money(
        amount=values["amount"],
        method=values["method"],
        booked_on=values.get("booked_on") or timezone.localdate(),
        reference=values["reference"],
    )


class BookViewSet(Listed, Retrieved):
    """A book of money, the latest row first; rows are added, never changed, and reversed whole."""

    roles = grants(read=OFFICE, write=OFFICE)

    @property
    def recorded(self) -> Recorded:
        """Now, and the caller."""
        return Recorded(timezone.now(), self.user)

    def take_back(self, row: Any, **how: Any) -> BookEntry:
        """Reverse a row and return the reversal."""
        raise NotImplementedError

    @verb(takes=ReasonInput, gives_status=201)
    def reverse(self) -> Response:
        """Take the row back by one of the opposite amount, and return that."""
        reversal = self.take_back(
            self.found(),
            reason=self.checked()["reason"],
            booked_on=timezone.localdate(),
            recorded=self.recorded,
        )
        return self.created(self.rows().get(pk=reversal.pk))
