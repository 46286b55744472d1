"""Who sells parts to the shop."""

import django_filters
from django.db.models import QuerySet
from rest_framework import serializers

from shop.api.plain_records import PlainRecordViewSet
from shop.http.filters import Order
from shop.http.permissions import EVERYONE, OFFICE, grants
from shop.http.serializers import RowSerializer, StrictSerializer, TextField
from shop.models import Supplier
from shop.queries.parts import suppliers

LONGEST_LEAD_TIME_DAYS = 730


class SupplierInput(StrictSerializer):
    """A supplier, with the lead time that they state, in calendar days."""

    name = TextField(max_length=200)
    email = serializers.EmailField(max_length=254, required=False, allow_blank=True)
    phone = TextField(max_length=50, required=False, allow_blank=True)
    lead_time_days = serializers.IntegerField(
        min_value=0, max_value=LONGEST_LEAD_TIME_DAYS, required=False
    )
    notes = TextField(max_length=5000, multiline=True, required=False, allow_blank=True)


class SupplierOutput(RowSerializer):
    """A supplier."""

    class Meta:
        model = Supplier
        fields = ("id", "name", "email", "phone", "lead_time_days", "notes")


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
