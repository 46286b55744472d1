"""Reports for the office: read as JSON with all that belongs to it, or as a sheet of its items."""

import datetime as dt
from collections.abc import Sequence

from django.utils import timezone
from rest_framework import serializers

from shop.http.permissions import OFFICE, grants
from shop.http.renderers import CSVRenderer, PlainJSONRenderer
from shop.http.serializers import StrictSerializer
from shop.http.views import ShopViewSet, Values


class OfficeReport(ShopViewSet):
    """Base of reports about money, which the office and the owner see.

    The sheet has a line for each of the answer's `items`.
    """

    roles = grants(read=OFFICE)
    renderer_classes = (PlainJSONRenderer, CSVRenderer)

    def output_fields(self) -> Sequence[str]:
        """Return the columns of the sheet."""
        return list(self.output_class()().fields["items"].child.fields)


class PeriodQuery(StrictSerializer):
    """The first and last day: today, and the beginning of its year, when left out."""

    opened_on = serializers.DateField(required=False)
    closed_on = serializers.DateField(required=False)

    def validate(self, values: Values) -> Values:
        """Return the values with both days.

        Raises:
            ValidationError: the period ends before it begins.
        """
        closed_on = values.get("closed_on", timezone.localdate())
        opened_on = values.get("opened_on", dt.date(closed_on.year, 1, 1))
        if closed_on < opened_on:
            sentence = "The period ends before it begins."
            raise serializers.ValidationError(
                {"closed_on": serializers.ErrorDetail(sentence, "period-backwards")}
            )
        return {**values, "opened_on": opened_on, "closed_on": closed_on}


class DayQuery(StrictSerializer):
    """The day at whose end it is; today when left out."""

    on = serializers.DateField(required=False)

    def validate(self, values: Values) -> Values:
        """Return the day."""
        return {"on": values.get("on", timezone.localdate())}
