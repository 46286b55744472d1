"""Tax categories, and the rates that hold from a day on. The owner enters them."""

import django_filters
from django.db.models import QuerySet
from rest_framework import serializers

from shop.api.countries import CountryField
from shop.api.plain_records import CODE, NamedByCode, PlainRecordViewSet
from shop.http.filters import Order
from shop.http.permissions import EVERYONE, OWNER, grants
from shop.http.serializers import RowSerializer, StrictSerializer, TextField
from shop.models import StandardTaxCode, TaxCategory, TaxRate
from shop.queries.taxes import tax_categories, tax_rates


class TaxCategoryChangeInput(StrictSerializer):
    """A tax category, with its code in EN 16931 and, if exempt, why."""

    name = TextField(max_length=200)
    en16931_code = serializers.ChoiceField(choices=StandardTaxCode.choices)
    exemption_reason = TextField(max_length=200, required=False, allow_blank=True)


class TaxCategoryCreateInput(TaxCategoryChangeInput):
    """A new tax category; its code stays."""

    code = serializers.RegexField(CODE, max_length=60)


class TaxCategoryOutput(RowSerializer):
    """A tax category, and where it comes from."""

    class Meta:
        model = TaxCategory
        fields = (
            *("id", "code", "name", "en16931_code", "exemption_reason", "provenance", "source"),
        )


class TaxCategoryViewSet(NamedByCode, PlainRecordViewSet):
    """What kinds of tax there are, by code."""

    model = TaxCategory
    roles = grants(read=EVERYONE, write=OWNER)
    create_input = TaxCategoryCreateInput
    change_input = TaxCategoryChangeInput
    output = TaxCategoryOutput

    def rows(self) -> QuerySet[TaxCategory]:
        """Return the tax categories."""
        return tax_categories()


class TaxRateInput(StrictSerializer):
    """The percentage of a category from a day on, until before another or for good.

    With a country, or a region of it, it holds there, and comes before a rate that names less.
    """

    category = serializers.SlugRelatedField(slug_field="code", queryset=TaxCategory.objects.all())
    country = CountryField()
    region = TextField(max_length=100, required=False, allow_blank=True)
    percent = serializers.DecimalField(max_digits=6, decimal_places=3, min_value=0, max_value=100)
    valid_from = serializers.DateField()
    valid_until = serializers.DateField(required=False, allow_null=True)


class TaxRateOutput(RowSerializer):
    """A tax rate."""

    category = serializers.CharField(source="category.code")

    class Meta:
        model = TaxRate
        fields = ("id", "category", "country", "region", "percent", "valid_from", "valid_until")


class TaxRateFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By category."""

    category = django_filters.CharFilter(field_name="category__code", max_length=60)
    order = Order(fields=["id"])

    class Meta:
        model = TaxRate
        fields = ()


class TaxRateViewSet(PlainRecordViewSet):
    """The rates of tax. None ships: the owner enters those that the law of the place sets."""

    model = TaxRate
    roles = grants(read=EVERYONE, write=OWNER)
    filterset_class = TaxRateFilter
    create_input = change_input = TaxRateInput
    output = TaxRateOutput

    def rows(self) -> QuerySet[TaxRate]:
        """Return the rates."""
        return tax_rates()
