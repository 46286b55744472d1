"""The shop itself: what stands on its documents, and its settings."""

from decimal import Decimal
from typing import Any

from django.db.models import QuerySet
from rest_framework import serializers
from stdnum import iban

from shop.actions.records import record_change
from shop.api.costs import CostsForOffice
from shop.api.countries import CountryField
from shop.api.parts import service_level
from shop.http.amounts import AmountField, AmountInputField
from shop.http.permissions import EVERYONE, OWNER, grants
from shop.http.records import Changed, Retrieved
from shop.http.serializers import RowSerializer, StrictSerializer, TextField
from shop.http.views import Values
from shop.models import (
    MOST_AGED_DAYS,
    MOST_WARRANTY_DAYS,
    SETTLE_DAYS,
    Language,
    PaperSize,
    ShopProfile,
    SizeScheme,
    TaxRoundedOn,
)

YEAR_DAYS = 366


class HumidityField(serializers.DecimalField):
    """A relative humidity in percent."""

    def __init__(self) -> None:
        super().__init__(max_digits=4, decimal_places=1, min_value=0, max_value=100)


class IBANField(TextField):
    """An account number, with or without the blanks it is printed with."""

    def to_internal_value(self, data: Any) -> str:
        """Return the number without blanks.

        Raises:
            ValidationError: its check digits are wrong.
        """
        number: str = iban.compact(str(super().to_internal_value(data)))
        if number and not iban.is_valid(number):
            raise serializers.ValidationError(
                "This is no IBAN: see whether it is typed right.", "iban-wrong"
            )
        return number


class ShopProfileInput(StrictSerializer):
    """The shop; humidity limits are its own judgement, since published advice differs."""

    name = TextField(max_length=200)
    street = TextField(max_length=200, allow_blank=True)
    city = TextField(max_length=100, allow_blank=True)
    postcode = TextField(max_length=20, allow_blank=True)
    country = CountryField()
    email = serializers.EmailField(max_length=254, allow_blank=True)
    phone = TextField(max_length=50, allow_blank=True)
    is_tax_registered = serializers.BooleanField()
    tax_number = TextField(max_length=50, allow_blank=True)
    prices_include_tax = serializers.BooleanField(
        help_text="Whether prices are entered with tax; documents show them without all the same."
    )
    iban = IBANField(max_length=42, allow_blank=True)
    quote_validity_days = serializers.IntegerField(min_value=1, max_value=YEAR_DAYS)
    quote_terms = TextField(
        allow_blank=True,
        multiline=True,
        help_text="What quotes are made on, printed with them; local law governs.",
    )
    deposit_percent = serializers.DecimalField(
        max_digits=5,
        decimal_places=2,
        min_value=0,
        max_value=100,
        help_text="What quotes ask for beforehand; local law may limit it.",
    )
    change_tolerance_percent = serializers.DecimalField(
        max_digits=5,
        decimal_places=2,
        min_value=0,
        max_value=100,
        help_text="Of what was agreed, for extra work without asking; local consumer law governs.",
    )
    change_tolerance_amount = serializers.DecimalField(
        max_digits=14, decimal_places=3, min_value=0, allow_null=True, help_text="At most this."
    )
    warranty_days = serializers.IntegerField(
        min_value=0,
        max_value=MOST_WARRANTY_DAYS,
        help_text=(
            "How long what comes back on the same note and component is put right for nothing; 0 is"
            " not at all. Local consumer law governs, and may give the client more."
        ),
    )
    payment_days = serializers.IntegerField(min_value=0, max_value=YEAR_DAYS)
    payment_terms = TextField(allow_blank=True)
    late_interest_percent = serializers.DecimalField(
        max_digits=5,
        decimal_places=2,
        min_value=0,
        max_value=100,
        allow_null=True,
        help_text="A year, on what is paid late; local law governs whether and how much.",
    )
    tax_rounding = serializers.ChoiceField(choices=TaxRoundedOn.choices)
    books_certain_payments = serializers.BooleanField(
        help_text="Whether what a bank statement says is recorded as paid without anybody's asking,"
        " where the structured reference is an invoice's own and the amount is what is due."
    )
    aged_days = serializers.ListField(
        child=serializers.IntegerField(min_value=1, max_value=9999),
        min_length=1,
        max_length=MOST_AGED_DAYS,
        help_text="The days overdue, ascending, at which aged receivables are sorted.",
    )
    labour_cost_per_hour = AmountInputField(
        allow_null=True, help_text="What an hour of work costs the shop itself, for margins."
    )
    pin_size_scheme = serializers.ChoiceField(choices=SizeScheme.choices)
    kit_confidence = serializers.DecimalField(
        max_digits=4,
        decimal_places=3,
        min_value=Decimal("0.5"),
        max_value=Decimal("0.999"),
        help_text="The chance with which the pins taken along shall do.",
    )
    quotes_by_bench_work = serializers.BooleanField(
        help_text="Whether the shop's own bench minutes move the catalogue's in quotes."
    )
    cause_sure_percent = serializers.DecimalField(
        max_digits=4,
        decimal_places=1,
        min_value=51,
        max_value=99,
        help_text="From which probability a cause counts as found.",
    )
    settle_days = serializers.IntegerField(
        min_value=SETTLE_DAYS[0],
        max_value=SETTLE_DAYS[1],
        help_text="How long a treated room settles before anybody looks again.",
    )
    humidity_target_percent = HumidityField()
    humidity_lowest_percent = HumidityField()
    humidity_highest_percent = HumidityField()
    service_level_percent = service_level()
    stock_review_days = serializers.IntegerField(min_value=0, max_value=YEAR_DAYS)
    order_cost = serializers.DecimalField(max_digits=14, decimal_places=3, min_value=0)
    holding_cost_percent = serializers.DecimalField(
        max_digits=5, decimal_places=2, min_value=0, max_value=100
    )
    paper_size = serializers.ChoiceField(choices=PaperSize.choices)
    language = serializers.ChoiceField(
        choices=Language.choices, help_text="Of documents, where the client has no other."
    )


class ShopProfileOutput(RowSerializer):
    """The shop."""

    change_tolerance_amount = AmountField(allow_null=True)
    order_cost = AmountField()

    class Meta:
        model = ShopProfile
        fields: tuple[str, ...] = (
            *("name", "street", "city", "postcode", "country", "email", "phone"),
            *("is_tax_registered", "tax_number", "prices_include_tax", "iban"),
            *("quote_validity_days", "quote_terms", "deposit_percent"),
            *("change_tolerance_percent", "change_tolerance_amount", "warranty_days"),
            "payment_days",
            *("payment_terms", "late_interest_percent", "tax_rounding"),
            *("books_certain_payments", "aged_days"),
            *("pin_size_scheme", "kit_confidence", "quotes_by_bench_work", "cause_sure_percent"),
            "settle_days",
            *("humidity_target_percent", "humidity_lowest_percent", "humidity_highest_percent"),
            *("service_level_percent", "stock_review_days", "order_cost", "holding_cost_percent"),
            *("paper_size", "language"),
        )


class CostedShopProfileOutput(ShopProfileOutput):
    """The shop, with what an hour of work costs it: to the office and the owner."""

    labour_cost_per_hour = AmountField(allow_null=True, required=False)

    class Meta(ShopProfileOutput.Meta):
        fields = (*ShopProfileOutput.Meta.fields, "labour_cost_per_hour")


class ShopProfileViewSet(CostsForOffice, Retrieved, Changed):
    """The shop itself, of which there is one."""

    model = ShopProfile
    roles = grants(read=EVERYONE, write=OWNER)
    change_input = ShopProfileInput
    output, costed_output = ShopProfileOutput, CostedShopProfileOutput

    def rows(self) -> QuerySet[ShopProfile]:
        """Return the one shop."""
        return ShopProfile.objects.all()

    def change(self, row: ShopProfile, values: Values) -> ShopProfile:
        """Change what stands on documents from now on, and the settings."""
        return record_change(record=row, changes=values)
