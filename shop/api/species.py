"""The woods that pianos are made of."""

import django_filters
from django.db.models import QuerySet

from shop.api.plain_records import NamedByCode
from shop.http.filters import Order
from shop.http.permissions import EVERYONE, grants
from shop.http.records import Listed, Retrieved
from shop.http.serializers import RowSerializer
from shop.models import WoodSpecies


class SpeciesOutput(RowSerializer):
    """A wood: how much of its width it grows for a percent of moisture content, and shrinkage."""

    class Meta:
        model = WoodSpecies
        fields = (
            *("id", "code", "name", "radial_coefficient", "tangential_coefficient"),
            *("radial_shrinkage_percent", "tangential_shrinkage_percent", "provenance", "source"),
        )


class SpeciesFilter(django_filters.FilterSet):  # type: ignore[misc]
    """In which order."""

    order = Order(fields=["code", "name", "id"])

    class Meta:
        model = WoodSpecies
        fields = ()


class SpeciesViewSet(NamedByCode, Listed, Retrieved):
    """The woods whose movement is known: averages, with where each comes from."""

    model = WoodSpecies
    roles = grants(read=EVERYONE)
    filterset_class = SpeciesFilter
    output = SpeciesOutput

    def rows(self) -> QuerySet[WoodSpecies]:
        """Return the woods by their codes."""
        return WoodSpecies.objects.order_by("code")
