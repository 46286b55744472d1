"""What a van takes along over its coming visits, and loading it."""

from datetime import timedelta

from django.db.models import QuerySet
from django.utils import timezone
from rest_framework import serializers
from rest_framework.response import Response

from billing.actions.packing import Loaded, van_load
from billing.api.packing_examples import PACKING_LIST
from billing.api.packing_outputs import LoadedOutput, PackingListOutput
from billing.queries.packing import packing_list
from billing.queries.quotes import default_shelf
from billing.queries.trips import Trip, trip_wants
from billing.rules.packing_text import packing_text
from shop.http.conditional import entity_tag
from shop.http.permissions import EVERYONE, grants
from shop.http.pictures import wants_text
from shop.http.serializers import RowField, StrictSerializer
from shop.http.verbs import report, verb
from shop.http.views import ShopViewSet, Values
from shop.models import Place, PlaceKind
from shop.queries.people import users

USUAL_DAYS = 14
MOST_DAYS = 92


class TripInput(StrictSerializer):
    """The days of the visits, by default two weeks from today; the last one is included.

    Without a technician it is everybody's visits, without a shelf the first.
    """

    starts_on = serializers.DateField(required=False)
    ends_on = serializers.DateField(required=False)
    technician = RowField(queryset=users(), required=False)
    from_place = RowField(
        queryset=Place.objects.filter(kind=PlaceKind.SHELF, is_active=True),
        required=False,
        help_text="The shelf that the van is loaded from; the first when left out.",
    )

    def validate(self, values: Values) -> Values:
        """Return the values with both days.

        Raises:
            ValidationError: the last day comes before the first, or long after it.
        """
        starts_on = values.get("starts_on", timezone.localdate())
        ends_on = values.get("ends_on", starts_on + timedelta(days=USUAL_DAYS - 1))
        if ends_on < starts_on:
            self._refuse("The last day comes before the first.", "period-backwards")
        if ends_on - starts_on >= timedelta(days=MOST_DAYS):
            self._refuse(f"A van is packed for at most {MOST_DAYS} days.", "period-too-long")
        return {**values, "starts_on": starts_on, "ends_on": ends_on}

    def _refuse(self, sentence: str, code: str) -> None:
        raise serializers.ValidationError({"ends_on": serializers.ErrorDetail(sentence, code)})


class PlacePackingViewSet(ShopViewSet):
    """The packing list of a van, and loading it."""

    model = Place
    roles = grants(read=EVERYONE, write=EVERYONE)

    def rows(self) -> QuerySet[Place]:
        """Return the vans that are in use."""
        return Place.objects.filter(kind=PlaceKind.VAN, is_active=True)

    @report(
        gives=PackingListOutput,
        query=TripInput,
        of_one=True,
        gives_text=True,
        example=PACKING_LIST,
    )
    def packing_list(self) -> Response:
        """Return what to take along and what is short; as text for a terminal or printer too."""
        wants = trip_wants(self._trip(self.checked_query()))
        packing = packing_list(wants, now=timezone.now())
        if wants_text(self.request):
            text = packing_text(packing)
            return Response(text, headers={"ETag": entity_tag(text)})
        return self.shown(packing)

    @verb(takes=TripInput, gives=LoadedOutput)
    def load(self) -> Response:
        """Move what the list wants from the shelf to the van, as far as the shelf has it."""
        loaded: Loaded = van_load(
            trip=self._trip(self.checked()), loaded_at=timezone.now(), loaded_by=self.user
        )
        return self.shown(loaded)

    def _trip(self, values: Values) -> Trip:
        shelf = values.pop("from_place", None) or default_shelf()
        return Trip(van=self.found(), shelf=shelf, **values)
