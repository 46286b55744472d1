"""Where instruments stand."""

import django_filters
from django.db.models import QuerySet
from rest_framework import serializers

from shop.api.countries import CountryField
from shop.api.plain_records import PlainRecordViewSet
from shop.http.filters import IdFilter, Order
from shop.http.permissions import EVERYONE, OFFICE, grants
from shop.http.serializers import RowField, RowSerializer, StrictSerializer, TextField
from shop.models import Client, Site
from shop.queries.clients import sites

DAY_MINUTES = 24 * 60


class SiteInput(StrictSerializer):
    """A site of a client's; `travel_minutes` is the way there and back."""

    client = RowField(queryset=Client.objects.all())
    name = TextField(max_length=200)
    street = TextField(max_length=200, required=False, allow_blank=True)
    city = TextField(max_length=100, required=False, allow_blank=True)
    postcode = TextField(max_length=20, required=False, allow_blank=True)
    country = CountryField()
    region = TextField(max_length=100, required=False, allow_blank=True)
    access_notes = TextField(max_length=5000, multiline=True, required=False, allow_blank=True)
    travel_minutes = serializers.IntegerField(min_value=0, max_value=DAY_MINUTES, required=False)


class SiteOutput(RowSerializer):
    """A site."""

    class Meta:
        model = Site
        fields = (
            *("id", "client", "name", "street", "city", "postcode", "country", "region"),
            *("access_notes", "travel_minutes"),
        )


class SiteFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By client."""

    client = IdFilter()
    order = Order(fields=["id"])

    class Meta:
        model = Site
        fields = ()


class SiteViewSet(PlainRecordViewSet):
    """The places of clients where instruments stand."""

    model = Site
    roles = grants(read=EVERYONE, write=OFFICE)
    filterset_class = SiteFilter
    create_input = change_input = SiteInput
    output = SiteOutput

    def rows(self) -> QuerySet[Site]:
        """Return the sites."""
        return sites()
