"""Those whom the shop works for."""

import django_filters
from django.db.models import Q, QuerySet
from rest_framework import serializers

from shop.api.countries import CountryField
from shop.api.plain_records import PlainRecordViewSet
from shop.http.filters import Order
from shop.http.permissions import EVERYONE, OFFICE, grants
from shop.http.serializers import RowSerializer, StrictSerializer, TextField
from shop.models import Client, ClientKind, Language
from shop.queries.clients import clients


class ClientInput(StrictSerializer):
    """A client, how they are reached, and where invoices go."""

    kind = serializers.ChoiceField(choices=ClientKind.choices)
    name = TextField(max_length=200)
    contact_name = TextField(max_length=200, required=False, allow_blank=True)
    email = serializers.EmailField(max_length=254, required=False, allow_blank=True)
    phone = TextField(max_length=50, required=False, allow_blank=True)
    street = TextField(max_length=200, required=False, allow_blank=True)
    city = TextField(max_length=100, required=False, allow_blank=True)
    postcode = TextField(max_length=20, required=False, allow_blank=True)
    country = CountryField()
    tax_number = TextField(max_length=50, required=False, allow_blank=True)
    language = serializers.ChoiceField(
        choices=Language.choices,
        required=False,
        allow_blank=True,
        help_text="Of the client's documents; the shop's when left out.",
    )
    notes = TextField(max_length=5000, multiline=True, required=False, allow_blank=True)


class ClientOutput(RowSerializer):
    """A client; without a language of its own, its documents are in the shop's."""

    language = serializers.CharField()

    class Meta:
        model = Client
        fields = (
            *("id", "kind", "name", "contact_name", "email", "phone"),
            *("street", "city", "postcode", "country", "tax_number", "language", "notes"),
        )


class ClientFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By kind, and by words of the name or of how they are reached."""

    search = django_filters.CharFilter(method="matching", max_length=100)
    kind = django_filters.ChoiceFilter(choices=ClientKind.choices)
    order = Order(fields=["name", "id"])

    class Meta:
        model = Client
        fields = ()

    def matching(self, rows: QuerySet[Client], _: str, text: str) -> QuerySet[Client]:
        """Return the clients in whose name or address `text` stands."""
        columns = ("name", "contact_name", "email", "phone")
        return rows.filter(
            Q(*((f"{column}__icontains", text) for column in columns), _connector=Q.OR)
        )


class ClientViewSet(PlainRecordViewSet):
    """Those whom the shop works for and sends its invoices to, by name."""

    model = Client
    roles = grants(read=EVERYONE, write=OFFICE)
    filterset_class = ClientFilter
    create_input = change_input = ClientInput
    output = ClientOutput

    def rows(self) -> QuerySet[Client]:
        """Return the clients."""
        return clients()
