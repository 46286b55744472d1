"""The quote of an examination: how it is wanted, and making it."""

from typing import Any

from django.db.models import QuerySet
from django.utils import timezone
from rest_framework import serializers
from rest_framework.response import Response
from rest_framework.reverse import reverse

from billing.actions.quote_terms import LineDiscount, OptionTerms, QuoteTerms
from billing.actions.quotes import quote_approve
from billing.actions.quoting import quote_make
from billing.api.documents import AmountOrPercentInput
from billing.api.plans import RoomRemedyField
from billing.api.quote_outputs import QuoteOutput
from billing.models import FeeKind, LineKind, QuotePlan
from billing.queries.quotes import default_shelf, quotes_in_full
from billing.rules.allowances import Adjustment
from diagnostics.models import Examination
from shop.http.permissions import EVERYONE, grants
from shop.http.serializers import RowField, StrictSerializer, TextField
from shop.http.verbs import verb
from shop.http.views import ShopViewSet
from shop.models import OWN_KINDS, Place

CHARGED_FEES = [FeeKind.TRAVEL, FeeKind.INSPECTION]
MOST_OPTIONS = 20
DISCOUNTED = {"remedy": LineKind.LABOUR, "part": LineKind.PART, "fee": LineKind.FEE}


class DiscountInput(AmountOrPercentInput):
    """What is taken off, before tax, and why."""

    reason = TextField(max_length=200)

    def validate(self, attrs: Any) -> Any:
        """Return the discount.

        Raises:
            ValidationError: neither percent nor amount is given, or both are.
        """
        values = super().validate(attrs)
        off = {name: values.pop(name) for name in ("percent", "amount", "reason") if name in values}
        return values | {"off": Adjustment(**off)}


class LineDiscountInput(DiscountInput):
    """What is taken off one line: of a remedy or a part by its code, or of a fee."""

    remedy = TextField(max_length=60, required=False)
    part = TextField(max_length=60, required=False)
    fee = serializers.ChoiceField(choices=CHARGED_FEES, required=False)

    def validate(self, attrs: Any) -> LineDiscount:
        """Return the discount.

        Raises:
            ValidationError: not one of remedy, part and fee is given; or as for any discount.
        """
        values = super().validate(attrs)
        off = values.pop("off")
        if len(values) != 1:
            raise serializers.ValidationError("Name one remedy, part or fee.", "one-of-three")
        ((name, code),) = values.items()
        return LineDiscount(DISCOUNTED[name], code, off)


class OptionInput(StrictSerializer):
    """Remedies that the client may take or leave together, at a price of their own."""

    title = TextField(
        max_length=200, default="", help_text="The remedies' own names when left out."
    )
    remedies = serializers.ListField(
        child=TextField(max_length=60), min_length=1, max_length=100, help_text="Their codes."
    )
    is_default = serializers.BooleanField(
        default=False,
        help_text="Taken unless the client says otherwise. Local consumer law may forbid that: in"
        " the European Union a consumer ticks extras (Directive 2011/83/EU, article 22).",
    )


class DepositInput(AmountOrPercentInput):
    """What is asked for beforehand, with tax; 0 % is nothing. Local law may limit it."""

    percent = serializers.DecimalField(
        max_digits=6, decimal_places=3, min_value=0, max_value=100, required=False
    )


class QuoteMakeInput(StrictSerializer):
    """How the quote is wanted; all of it may be left out."""

    from_place = RowField(
        queryset=Place.objects.filter(kind__in=OWN_KINDS, is_active=True),
        required=False,
        help_text="The shelf or van that parts come from; the first shelf when left out.",
    )
    fees = serializers.ListField(
        child=serializers.ChoiceField(choices=CHARGED_FEES),
        default=[FeeKind.TRAVEL],
        max_length=2,
    )
    discounts = LineDiscountInput(many=True, default=[])
    discount = DiscountInput(
        required=False, help_text="On the whole quote, but the minimum and the options."
    )
    options = OptionInput(many=True, default=[])
    deposit = DepositInput(required=False, help_text="The shop's own when left out.")
    validity_days = serializers.IntegerField(min_value=1, max_value=366, required=False)
    terms = TextField(
        max_length=10_000,
        allow_blank=True,
        multiline=True,
        required=False,
        help_text="The shop's own when left out; local law governs.",
    )
    revise = serializers.BooleanField(
        default=False,
        help_text="Make the next version of the open quote, which it supersedes; of its job bag,"
        " only the difference is moved.",
    )
    alternative = serializers.BooleanField(
        default=False,
        help_text="Offer it beside the open quote of the other plan; approving one withdraws the"
        " other.",
    )
    require_stock = serializers.BooleanField(default=False)
    leave_out_undecided = serializers.BooleanField(default=False)
    plan = serializers.ChoiceField(
        choices=QuotePlan.choices,
        default=QuotePlan.NOW,
        help_text="room_first quotes treating the room and what cannot wait for it.",
    )
    room_remedy = RoomRemedyField()
    approve = serializers.BooleanField(default=False)
    approved_by = TextField(max_length=200, default="")

    def validate_fees(self, fees: list[str]) -> list[str]:
        """Return the kinds of fees.

        Raises:
            ValidationError: one is named twice.
        """
        if len(set(fees)) < len(fees):
            raise serializers.ValidationError("A fee is charged once.", "named-twice")
        return fees

    def validate_discounts(self, discounts: list[LineDiscount]) -> list[LineDiscount]:
        """Return the discounts.

        Raises:
            ValidationError: two are on one line.
        """
        if len({(each.kind, each.code) for each in discounts}) < len(discounts):
            raise serializers.ValidationError("A line is discounted once.", "discounted-twice")
        return discounts

    def validate_options(self, options: list[dict[str, Any]]) -> tuple[OptionTerms, ...]:
        """Return the options.

        Raises:
            ValidationError: there are too many, or a remedy is in two.
        """
        named = [code for option in options for code in option["remedies"]]
        if len(set(named)) < len(named):
            raise serializers.ValidationError("A remedy is in one option.", "remedy-named-twice")
        if len(options) > MOST_OPTIONS:
            raise serializers.ValidationError(f"At most {MOST_OPTIONS} options.", "too-many")
        return tuple(
            OptionTerms(each["title"], tuple(each["remedies"]), is_default=each["is_default"])
            for each in options
        )

    def validate(self, attrs: Any) -> Any:
        """Return the terms by the names that the action knows them under."""
        deposit = {f"deposit_{name}": value for name, value in attrs.pop("deposit", {}).items()}
        if "discount" in attrs:
            attrs["discount"] = attrs["discount"]["off"]
        attrs["discounts"], attrs["fees"] = tuple(attrs["discounts"]), tuple(attrs["fees"])
        return attrs | deposit


class ExaminationQuoteViewSet(ShopViewSet):
    """The quote of an examination."""

    model = Examination
    roles = grants(write=EVERYONE)
    output = QuoteOutput

    def rows(self) -> QuerySet[Examination]:
        """Return the examinations that can be quoted: all of them."""
        return Examination.objects.all()

    @verb(takes=QuoteMakeInput, gives_status=201)
    def quote(self) -> Response:
        """Price the findings, take the parts into a job bag, and return the quote."""
        values = self.checked()
        approve, approved_by = values.pop("approve"), values.pop("approved_by")
        from_place = values.pop("from_place", None) or default_shelf()
        now, today = timezone.now(), timezone.localdate()
        quote = quote_make(
            examination=self.found(),
            terms=QuoteTerms(from_place=from_place, **values),
            made_at=now,
            made_on=today,
            made_by=self.user,
        )
        if approve:
            name = approved_by or quote.client.name
            quote_approve(
                quote=quote,
                approved_by_name=name,
                decided_at=now,
                decided_on=today,
                decided_by=self.user,
            )
        location = reverse("quote-detail", kwargs={"pk": quote.pk}, request=self.request)
        return self.created(quotes_in_full().get(pk=quote.pk), location)
