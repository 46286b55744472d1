"""The price book of a day."""

from typing import Any

from django.conf import settings
from django.utils import timezone
from rest_framework import serializers
from rest_framework.response import Response

from billing.models import FeeKind
from billing.queries.priced_days import priced_day
from shop.api.taxes import TaxRateOutput
from shop.http.amounts import AmountField, PriceField
from shop.http.permissions import EVERYONE, grants
from shop.http.serializers import StrictSerializer
from shop.http.views import ShopViewSet


class PriceBookQuery(StrictSerializer):
    """Of which day; of today when left out."""

    on = serializers.DateField(required=False)


class ListedPriceOutput(serializers.Serializer[Any]):
    """A price as it was entered."""

    code = serializers.CharField()
    name = serializers.CharField()
    tax_category = serializers.CharField(source="tax_category.code")


class ListedHourOutput(ListedPriceOutput):
    """What an hour costs."""

    per_hour = AmountField()


class ListedFeeOutput(ListedPriceOutput):
    """What is charged for coming, for looking or at least."""

    kind = serializers.ChoiceField(FeeKind.choices)
    amount = AmountField()


class ListedPartOutput(ListedPriceOutput):
    """What a unit of an active part costs."""

    unit = serializers.CharField()
    price = PriceField(source="price_in_force")


class PriceBookOutput(serializers.Serializer[Any]):
    """All prices of a day; those that include tax do so at the rate of where the work is done."""

    on = serializers.DateField(source="day")
    currency = serializers.CharField(default=settings.CURRENCY)
    prices_include_tax = serializers.BooleanField(source="profile.prices_include_tax")
    labour = ListedHourOutput(source="labour_rate", allow_null=True)
    fees = ListedFeeOutput(many=True)
    parts = ListedPartOutput(many=True)
    tax_rates = TaxRateOutput(many=True)


class PriceBookViewSet(ShopViewSet):
    """What the shop charges on a day."""

    roles = grants(read=EVERYONE)
    query = PriceBookQuery
    output = PriceBookOutput

    def price_book(self) -> Response:
        """Return every price and rate of tax in force that day."""
        book = priced_day(self.checked_query().get("on", timezone.localdate()))
        return Response(self.representation(book))
