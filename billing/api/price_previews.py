"""What a change of the price book would make of quotes that were made."""

from datetime import date
from decimal import Decimal
from typing import Any, ClassVar

from django.conf import settings
from django.utils import timezone
from rest_framework import serializers
from rest_framework.response import Response

from billing.models import FeeKind
from billing.queries.price_previews import Preview, price_previews, quotes_sampled
from billing.rules.price_list import UNCHANGED, Change, Proposal
from shop.http.amounts import AmountField, QuantityField
from shop.http.permissions import OFFICE, grants
from shop.http.serializers import InstantField, StrictSerializer, TextField
from shop.http.views import ShopViewSet, Values
from shop.models import Part
from shop.rules.quantities import thousandths

DEFAULT_QUOTES, MOST_QUOTES = 20, 500
FEWEST_PERCENT, MOST_PERCENT = -100, 1000


class PriceChangeInput(StrictSerializer):
    """Either another amount, as prices are entered, or so many percent more or less."""

    amount = serializers.DecimalField(max_digits=14, decimal_places=4, min_value=0, required=False)
    percent = serializers.DecimalField(
        max_digits=7,
        decimal_places=3,
        min_value=FEWEST_PERCENT,
        max_value=MOST_PERCENT,
        required=False,
    )

    def validate(self, attrs: Values) -> Values:
        """Return what is given.

        Raises:
            ValidationError: neither or both are.
        """
        if ("percent" in attrs) == ("amount" in attrs):
            raise serializers.ValidationError("Give either percent or amount.", "one-of-two")
        return attrs


class FeeChangeInput(PriceChangeInput):
    """What becomes of the fee of a kind."""

    kind = serializers.ChoiceField(choices=FeeKind.choices)


class PartPriceChangeInput(PriceChangeInput):
    """What becomes of the price of a part, by its code."""

    part = TextField(max_length=60)


class AllPartsChangeInput(StrictSerializer):
    """By how many percent the prices of all other parts change."""

    percent = serializers.DecimalField(
        max_digits=7, decimal_places=3, min_value=FEWEST_PERCENT, max_value=MOST_PERCENT
    )


class PriceBookPreviewInput(StrictSerializer):
    """The prices proposed, and the quotes to try them on: the last ones, or those of a period."""

    default_error_messages: ClassVar = {
        "unknown_part": "There is no part with this code.",
        "named_twice": "This one is named before.",
        "period_backwards": "The period ends before it begins.",
        "two_samples": "Give either the last quotes or a period.",
    }

    labour = PriceChangeInput(required=False)
    fees = FeeChangeInput(many=True, default=[])
    parts = PartPriceChangeInput(many=True, default=[])
    all_parts = AllPartsChangeInput(required=False)
    on = serializers.DateField(required=False, help_text="The day of the prices now; today.")
    last_quotes = serializers.IntegerField(
        min_value=1, max_value=MOST_QUOTES, required=False, help_text="20 when left out."
    )
    made_from = serializers.DateField(required=False)
    made_until = serializers.DateField(required=False, help_text="This day too.")

    def validate_fees(self, fees: list[Values]) -> list[Values]:
        """Return the changes of fees, each kind once."""
        self._refuse_twice("kind", fees)
        return fees

    def validate_parts(self, changes: list[Values]) -> list[Values]:
        """Return the changes with their parts' keys, all found by one query.

        Raises:
            ValidationError: at each part that is unknown or named twice.
        """
        self._refuse_twice("part", changes)
        codes = [change["part"] for change in changes]
        keys = dict(Part.objects.filter(code__in=codes).values_list("code", "pk"))
        self._refuse("part", "unknown_part", [code not in keys for code in codes])
        return [{**change, "part": keys[change["part"]]} for change in changes]

    def validate(self, attrs: Values) -> Values:
        """Return the proposal, with one sample.

        Raises:
            ValidationError: there are two, or the period is backwards.
        """
        first, last = attrs.get("made_from"), attrs.get("made_until")
        if "last_quotes" in attrs and (first or last):
            self.fail("two_samples")
        if first and last and last < first:
            self.fail("period_backwards")
        return attrs

    def _refuse_twice(self, name: str, changes: list[Values]) -> None:
        named = [change[name] for change in changes]
        again = [each in named[:place] for place, each in enumerate(named)]
        self._refuse(name, "named_twice", again)

    def _refuse(self, name: str, code: str, wrong: list[bool]) -> None:
        error = [serializers.ErrorDetail(str(self.error_messages[code]), code)]
        if any(wrong):
            raise serializers.ValidationError([{name: error} if each else {} for each in wrong])


class QuotePreviewOutput(serializers.Serializer[Any]):
    """A quote's lines before tax, as quoted, at the prices of the day and at those proposed."""

    quote = serializers.IntegerField(source="quote.pk")
    made_at = InstantField(source="quote.made_at")
    quoted_net = AmountField(source="quote.line_total")
    net_now = AmountField()
    net_proposed = AmountField()
    difference = AmountField()


class PriceBookPreviewOutput(serializers.Serializer[Any]):
    """What the change makes of each quote and of all of them; quotes themselves stay."""

    on = serializers.DateField()
    currency = serializers.CharField()
    items = QuotePreviewOutput(many=True)
    quoted_net = AmountField()
    net_now = AmountField()
    net_proposed = AmountField()
    difference = AmountField()
    difference_percent = QuantityField(allow_null=True)


class PriceBookPreviewViewSet(ShopViewSet):
    """What a change of prices would make of quotes that were made.

    Each quote keeps its hours, parts, fees and shares of discount; allowances on a whole quote are
    left out. Nothing is stored: the owner enters the prices, with their first day, afterwards.
    """

    roles = grants(write=OFFICE)
    takes = PriceBookPreviewInput
    output = PriceBookPreviewOutput

    def preview(self) -> Response:
        """Return the quotes of the sample, newest first, without and with the change."""
        wanted = self.checked()
        day = wanted.get("on", timezone.localdate())
        sample = quotes_sampled(
            first=wanted.get("made_from"),
            last=wanted.get("made_until"),
            most=wanted.get("last_quotes", DEFAULT_QUOTES if no_period(wanted) else MOST_QUOTES),
        )
        rows = price_previews(sample=sample, proposal=proposal_of(wanted), day=day)
        return Response(self.representation(totalled(day, rows)))


def no_period(wanted: Values) -> bool:
    """Return whether the last quotes are asked for, and not those of some days."""
    return not {"made_from", "made_until"} & wanted.keys()


def proposal_of(wanted: Values) -> Proposal:
    """Return the changes that were sent."""
    return Proposal(
        hour=_change(wanted["labour"]) if "labour" in wanted else UNCHANGED,
        fees={change["kind"]: _change(change) for change in wanted["fees"]},
        parts={change["part"]: _change(change) for change in wanted["parts"]},
        all_parts=_change(wanted["all_parts"]) if "all_parts" in wanted else UNCHANGED,
    )


def _change(sent: Values) -> Change:
    return Change(amount=sent.get("amount"), percent=sent.get("percent", Decimal(0)))


def totalled(day: date, rows: list[Preview]) -> Values:
    """Return the answer: the quotes, and what they come to together."""
    now = sum((row.net_now for row in rows), Decimal(0))
    proposed = sum((row.net_proposed for row in rows), Decimal(0))
    return {
        "on": day,
        "currency": settings.CURRENCY,
        "items": rows,
        "quoted_net": sum((row.quote.line_total for row in rows), Decimal(0)),
        "net_now": now,
        "net_proposed": proposed,
        "difference": proposed - now,
        "difference_percent": thousandths((proposed - now) * 100 / now) if now else None,
    }
