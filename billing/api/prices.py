"""The price book: labour rates with their dates, and fees."""

from typing import Any

from django.db.models import QuerySet
from rest_framework import serializers

from billing.models import Fee, FeeKind, LabourRate
from shop.api.plain_records import CODE, PlainRecordViewSet
from shop.http.amounts import AmountField
from shop.http.permissions import EVERYONE, OWNER, grants
from shop.http.serializers import RowSerializer, StrictSerializer, TextField
from shop.models import TaxCategory

CATALOGUE_FIELDS = ("id", "code", "name", "tax_category", "provenance", "source")


class PricedInput(StrictSerializer):
    """What rates and fees have in common."""

    code = serializers.RegexField(CODE, max_length=60)
    name = TextField(max_length=200)
    tax_category = serializers.SlugRelatedField(
        slug_field="code", queryset=TaxCategory.objects.all()
    )
    valid_until = serializers.DateField(required=False, allow_null=True, default=None)


class LabourRateInput(PricedInput):
    """What an hour costs from a day on, until before another."""

    per_hour = serializers.DecimalField(max_digits=14, decimal_places=3, min_value=0)
    valid_from = serializers.DateField()


class LabourRateOutput(RowSerializer):
    """A labour rate."""

    per_hour = AmountField()
    tax_category = serializers.CharField(source="tax_category.code")

    class Meta:
        model = LabourRate
        fields = (*CATALOGUE_FIELDS, "per_hour", "valid_from", "valid_until")


class FeeInput(PricedInput):
    """An amount charged beside work and parts, from a day on until before another."""

    kind = serializers.ChoiceField(choices=FeeKind.choices)
    amount = serializers.DecimalField(max_digits=14, decimal_places=3, min_value=0)
    valid_from = serializers.DateField(
        required=False, help_text="Always, as far back as quotes go, when left out."
    )


class FeeOutput(RowSerializer):
    """A fee."""

    amount = AmountField()
    tax_category = serializers.CharField(source="tax_category.code")

    class Meta:
        model = Fee
        fields = (*CATALOGUE_FIELDS, "kind", "amount", "valid_from", "valid_until")


class PriceViewSet(PlainRecordViewSet):
    """Base of the price book's views: quotes that were made keep the prices they were made with."""

    roles = grants(read=EVERYONE, write=OWNER)

    def rows(self) -> QuerySet[Any]:
        """Return all rows, by code."""
        return self.model._default_manager.select_related("tax_category").order_by("code", "id")


class LabourRateViewSet(PriceViewSet):
    """What an hour of work costs."""

    model = LabourRate
    create_input = change_input = LabourRateInput
    output = LabourRateOutput


class FeeViewSet(PriceViewSet):
    """What is charged for coming, for looking, and at least for a job."""

    model = Fee
    create_input = change_input = FeeInput
    output = FeeOutput
