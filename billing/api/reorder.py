"""The reorder report: what to order, and why."""

from collections.abc import Sequence
from typing import Any

from django.utils import timezone
from rest_framework import serializers
from rest_framework.response import Response

from billing.queries.reorder import reorder_report
from shop.http.amounts import QuantityField
from shop.http.permissions import EVERYONE, grants
from shop.http.renderers import CSVRenderer, PlainJSONRenderer
from shop.http.serializers import StrictSerializer
from shop.http.views import ShopViewSet


class ReorderQuery(StrictSerializer):
    """Whether to leave out what need not be ordered."""

    needed_only = serializers.BooleanField(default=False)


class ReorderRowOutput(serializers.Serializer[Any]):
    """A part, where it stands in its unit, and how many packs to order."""

    part = serializers.CharField(source="part.code")
    name = serializers.CharField(source="part.name")
    unit = serializers.CharField(source="part.unit")
    supplier = serializers.CharField(source="part.supplier.name", default="")
    on_hand = QuantityField(source="standing.on_hand")
    in_job_bags = QuantityField(source="standing.in_bags")
    short_on_quotes = QuantityField(source="standing.short")
    usage_per_month = QuantityField(source="reorder.usage_per_month")
    lead_time_days = serializers.IntegerField(source="standing.lead_time_days")
    reorder_point = QuantityField(source="reorder.reorder_point")
    pack_quantity = QuantityField(source="standing.pack_quantity")
    suggested_packs = serializers.IntegerField(source="reorder.suggested_packs")


class ReorderOutput(serializers.Serializer[Any]):
    """The report over all active parts."""

    items = ReorderRowOutput(many=True)


class ReorderReportViewSet(ShopViewSet):
    """What to order: every active part with its stock, its usage and its reorder point.

    The reorder point is what the lead time uses at the last year's pace, and 1.645 standard
    deviations of a Poisson count more. It is a first estimate: a shop without a year behind it sees
    only what its quotes are short of.
    """

    roles = grants(read=EVERYONE)
    query = ReorderQuery
    output = ReorderOutput
    renderer_classes = (PlainJSONRenderer, CSVRenderer)

    def reorder_report(self) -> Response:
        """Return the report, as JSON or as a sheet."""
        rows = reorder_report(now=timezone.now(), **self.checked_query())
        return Response(self.representation({"items": list(rows)}))

    def output_fields(self) -> Sequence[str]:
        """Return the columns of the sheet."""
        return list(ReorderRowOutput().fields)
