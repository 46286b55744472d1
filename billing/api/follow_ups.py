"""Follow-ups: re-examinations that are due once a treated room had time to settle."""

from typing import Any

import django_filters
from django.db.models import QuerySet
from django.utils import timezone
from rest_framework import serializers

from billing.actions.follow_ups import follow_up_move
from billing.models import FollowUp
from billing.queries.follow_ups import FollowUpState, follow_ups
from diagnostics.rules.room_first import SETTLED_READINGS
from shop.http.filters import IdFilter, Order
from shop.http.permissions import EVERYONE, grants
from shop.http.records import Changed, Listed, Retrieved
from shop.http.serializers import RowSerializer, StrictSerializer
from shop.http.views import ShopViewSet, Values

STATES = [(state.value, state.value) for state in FollowUpState]


class FollowUpChangeInput(StrictSerializer):
    """Another day, as agreed with the client."""

    due_on = serializers.DateField()


class FollowUpOutput(RowSerializer):
    """A follow-up, of which examination it is, and where it stands.

    `done_by` is the examination that follows the first; its comparison tells what was cured.
    """

    examination = serializers.IntegerField(source="quote.examination_id")
    instrument = serializers.IntegerField(source="quote.examination.instrument_id")
    client = serializers.IntegerField(source="quote.client_id")
    state = serializers.ChoiceField(choices=STATES)
    done_by = serializers.IntegerField(allow_null=True)
    settled_readings = serializers.IntegerField(
        help_text="How many of the newest two readings since the quote are in range."
    )
    warning = serializers.SerializerMethodField()

    class Meta:
        model = FollowUp
        fields = (
            *("id", "quote", "examination", "instrument", "client", "due_on", "state", "done_by"),
            *("settled_readings", "warning"),
        )

    def get_warning(self, row: Any) -> str | None:
        """Return what speaks against looking again yet."""
        is_awaited = row.state in {FollowUpState.DUE, FollowUpState.OVERDUE}
        if not is_awaited or row.settled_readings >= SETTLED_READINGS:
            return None
        return f"Measure first: not yet {SETTLED_READINGS} readings in a row are in range."


class FollowUpFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By state, day, quote, examination, instrument and client."""

    state = django_filters.MultipleChoiceFilter(choices=STATES)
    due_on = django_filters.DateFromToRangeFilter()
    quote = IdFilter()
    examination = IdFilter(field_name="quote__examination")
    instrument = IdFilter(field_name="quote__examination__instrument")
    client = IdFilter(field_name="quote__client")
    order = Order(fields=["due_on", "id"])

    class Meta:
        model = FollowUp
        fields = ()


class FollowUpViewSet(Listed, Retrieved, Changed, ShopViewSet):
    """Follow-ups, the first due first.

    A quote that treats the room first makes one due. It is done once an examination follows the
    quote's, and dropped with the quote.
    """

    model = FollowUp
    roles = grants(read=EVERYONE, write=EVERYONE)
    filterset_class = FollowUpFilter
    change_input = FollowUpChangeInput
    output = FollowUpOutput

    def rows(self) -> QuerySet[FollowUp]:
        """Return the follow-ups: everybody in the shop may see them."""
        return follow_ups(timezone.localdate())

    def change(self, row: FollowUp, values: Values) -> FollowUp:
        """Make it due on another day."""
        return follow_up_move(follow_up=row, due_on=values.get("due_on", row.due_on))
