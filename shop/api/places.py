"""Where parts can be."""

import django_filters
from django.db.models import QuerySet
from rest_framework import serializers

from shop.actions.places import place_change, place_delete
from shop.api.plain_records import PlainRecordViewSet
from shop.http.filters import Order, TrueFalseFilter
from shop.http.permissions import EVERYONE, OFFICE, grants
from shop.http.serializers import RowSerializer, StrictSerializer, TextField
from shop.http.views import Values
from shop.models import Place, PlaceKind
from shop.queries.stock import places

OWN_KINDS = [(kind.value, kind.label) for kind in (PlaceKind.SHELF, PlaceKind.VAN)]


class PlaceCreateInput(StrictSerializer):
    """A new shelf or van; job bags come with quotes."""

    kind = serializers.ChoiceField(choices=OWN_KINDS)
    name = TextField(max_length=100)


class PlaceChangeInput(StrictSerializer):
    """Another name, or whether the place is in use; only an empty one can be closed."""

    name = TextField(max_length=100)
    is_active = serializers.BooleanField()


class PlaceOutput(RowSerializer):
    """A place."""

    class Meta:
        model = Place
        fields = ("id", "kind", "name", "is_active")


class PlaceFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By kind, and whether the place is in use."""

    kind = django_filters.ChoiceFilter(choices=PlaceKind.choices)
    is_active = TrueFalseFilter()
    order = Order(fields=["name", "id"])

    class Meta:
        model = Place
        fields = ()


class PlaceViewSet(PlainRecordViewSet):
    """Shelves and vans, the job bags of quotes, and the world outside."""

    model = Place
    roles = grants(read=EVERYONE, write=OFFICE)
    filterset_class = PlaceFilter
    create_input = PlaceCreateInput
    change_input = PlaceChangeInput
    output = PlaceOutput

    def rows(self) -> QuerySet[Place]:
        """Return the places."""
        return places()

    def change(self, row: Place, values: Values) -> Place:
        """Rename, close or open a shelf or van."""
        return place_change(place=row, changes=values)

    def remove(self, row: Place) -> None:
        """Remove a shelf or van where nothing ever was."""
        place_delete(place=row)
