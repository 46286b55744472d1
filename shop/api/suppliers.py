"""Who sells parts to the shop."""

import django_filters
from django.db.models import QuerySet
from rest_framework import serializers

from shop.api.countries import CountryField
from shop.api.lead_times import ObservedLeadTimeOutput
from shop.api.plain_records import PlainRecordViewSet
from shop.http.amounts import AmountField, AmountInputField
from shop.http.filters import Order
from shop.http.permissions import EVERYONE, OFFICE, grants
from shop.http.serializers import RowSerializer, StrictSerializer, TextField
from shop.models import Supplier
from shop.models.suppliers import LONGEST_LEAD_TIME_DAYS
from shop.queries.parts import suppliers


class SupplierInput(StrictSerializer):
    """A supplier, with the lead time that they state, in calendar days.

    `minimum_order_value` is the least that they take an order of, in the shop's currency before
    tax.
    """

    name = TextField(max_length=200)
    street = TextField(max_length=200, required=False, allow_blank=True)
    city = TextField(max_length=100, required=False, allow_blank=True)
    postcode = TextField(max_length=20, required=False, allow_blank=True)
    country = CountryField()
    email = serializers.EmailField(max_length=254, required=False, allow_blank=True)
    phone = TextField(max_length=50, required=False, allow_blank=True)
    lead_time_days = serializers.IntegerField(
        min_value=0, max_value=LONGEST_LEAD_TIME_DAYS, required=False
    )
    customer_number = TextField(max_length=50, required=False, allow_blank=True)
    minimum_order_value = AmountInputField(required=False)
    notes = TextField(max_length=5000, multiline=True, required=False, allow_blank=True)


class SupplierOutput(RowSerializer):
    """A supplier, with the lead time that they state and the one observed over all their parts."""

    minimum_order_value = AmountField()
    observed_lead_time = ObservedLeadTimeOutput(source="*")

    class Meta:
        model = Supplier
        fields = (
            *("id", "name", "street", "city", "postcode", "country", "email", "phone"),
            *("customer_number", "lead_time_days", "observed_lead_time"),
            *("minimum_order_value", "notes"),
        )


class SupplierFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By words of the name."""

    search = django_filters.CharFilter(field_name="name", lookup_expr="icontains", max_length=100)
    order = Order(fields=["name", "id"])

    class Meta:
        model = Supplier
        fields = ()


class SupplierViewSet(PlainRecordViewSet):
    """Who sells parts to the shop, by name."""

    model = Supplier
    roles = grants(read=EVERYONE, write=OFFICE)
    filterset_class = SupplierFilter
    create_input = change_input = SupplierInput
    output = SupplierOutput

    def rows(self) -> QuerySet[Supplier]:
        """Return the suppliers."""
        return suppliers()
