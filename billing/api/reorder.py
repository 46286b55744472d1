"""The reorder report: what to order, from whom, and why."""

from collections.abc import Sequence
from typing import Any

from django.utils import timezone
from rest_framework import serializers
from rest_framework.response import Response

from billing.queries.reorder import reorder_by_supplier, reorder_report
from shop.api.costs import CostsForOffice
from shop.http.amounts import AmountField, PriceField, QuantityField
from shop.http.permissions import EVERYONE, grants
from shop.http.renderers import CSVRenderer, PlainJSONRenderer
from shop.http.serializers import StrictSerializer
from shop.rules.demand import Pattern
from shop.rules.forecasting import Method
from shop.rules.quantities import plain, thousandths


class StatisticField(serializers.DecimalField):
    """What statistics found, to three places."""

    def __init__(self, **options: Any) -> None:
        super().__init__(max_digits=14, decimal_places=3, **options)

    def to_representation(self, value: Any) -> str:
        """Return the number as text."""
        return plain(thousandths(value))


class ReorderQuery(StrictSerializer):
    """Whether to leave out what need not be ordered."""

    needed_only = serializers.BooleanField(default=False)


class ReasonOutput(serializers.Serializer[Any]):
    """A number of the row by its name, and the sum that gives it."""

    number = serializers.CharField()
    formula = serializers.CharField()


class ReorderRowOutput(serializers.Serializer[Any]):
    """A part: where it stands in its unit, what was asked for, and what to order, each with why.

    `position` is what may be counted on. Days of cover are null when nothing is asked for.
    """

    part = serializers.CharField(source="part.code")
    name = serializers.CharField(source="part.name")
    unit = serializers.CharField(source="part.unit")
    supplier = serializers.CharField(source="supplier.name", default="")
    offer = serializers.IntegerField(source="found.terms.offer_id", allow_null=True)
    on_hand = QuantityField(source="stock.on_hand")
    on_order = QuantityField(source="stock.on_order")
    in_drafted_orders = QuantityField(source="stock.drafted")
    in_job_bags = QuantityField(source="stock.in_bags")
    short_on_quotes = QuantityField(source="stock.short")
    approval_chance = QuantityField(source="policy.approval_chance")
    position = QuantityField(source="found.position")
    weeks = serializers.IntegerField()
    demand_pattern = serializers.ChoiceField(
        [each.value for each in Pattern], source="found.pattern.pattern"
    )
    mean_interval_weeks = StatisticField(source="found.pattern.mean_interval")
    squared_variation = StatisticField(source="found.pattern.squared_variation")
    forecast_method = serializers.ChoiceField(
        [each.value for each in Method], source="found.forecast.method"
    )
    forecast_per_week = StatisticField(source="found.forecast.per_week")
    forecast_error_per_week = StatisticField(source="found.forecast.error")
    lead_time_days = StatisticField(source="found.terms.lead_time.days")
    lead_time_spread_days = StatisticField(source="found.terms.lead_time.spread_days")
    review_days = serializers.IntegerField(source="policy.review_days")
    service_level_percent = QuantityField(source="policy.service_level_percent")
    safety_factor = StatisticField(source="found.safety_factor")
    lead_time_demand = StatisticField(source="found.lead_time_demand.expected")
    lead_time_demand_spread = StatisticField(source="found.lead_time_demand.spread")
    undershoot = StatisticField(source="found.undershoot.expected")
    safety_stock = QuantityField(source="found.safety_stock")
    reorder_point = QuantityField(source="found.reorder_point")
    days_of_cover = serializers.IntegerField(source="found.days_of_cover", allow_null=True)
    pack_quantity = QuantityField(source="found.terms.pack_quantity")
    suggested_packs = serializers.IntegerField(source="found.packs")
    added_for_minimum_packs = serializers.IntegerField(source="found.added_packs")
    suggested_quantity = QuantityField()
    why = ReasonOutput(many=True, source="reasons_without_costs")


class ReorderRowCostedOutput(ReorderRowOutput):
    """A part of the report with what its packs cost.

    The office and the owner alone see these three, and the reason of the second.
    """

    pack_price = PriceField(source="found.pack_price", required=False)
    economic_packs = serializers.IntegerField(
        source="found.order.packs", default=None, allow_null=True
    )
    suggested_cost = AmountField(source="found.cost", required=False)
    why = ReasonOutput(many=True, source="reasons")


class ReorderOutput(serializers.Serializer[Any]):
    """The report over all active parts."""

    items = ReorderRowOutput(many=True)


class ReorderCostedOutput(serializers.Serializer[Any]):
    """The report over all active parts, with costs."""

    items = ReorderRowCostedOutput(many=True)


class SupplierOrderOutput(serializers.Serializer[Any]):
    """What to order of a supplier; null when no supplier is known."""

    supplier = serializers.IntegerField(source="supplier.pk", default=None, allow_null=True)
    name = serializers.CharField(source="supplier.name", default="")
    rows = ReorderRowOutput(many=True)


class SupplierOrderCostedOutput(SupplierOrderOutput):
    """What to order of a supplier, what it costs, and what is missing to the least they take."""

    rows = ReorderRowCostedOutput(many=True)
    cost = AmountField(required=False)
    minimum_order_value = AmountField(source="minimum", required=False)
    missing_to_minimum = AmountField(source="missing", required=False)


class ReorderBySupplierOutput(serializers.Serializer[Any]):
    """What to order, by supplier."""

    items = SupplierOrderOutput(many=True)


class ReorderBySupplierCostedOutput(serializers.Serializer[Any]):
    """What to order, by supplier, with costs."""

    items = SupplierOrderCostedOutput(many=True)


class ReorderReportViewSet(CostsForOffice):
    """What to order: every active part with its stock, its demand and its reorder point.

    Demand is what was used and what quotes were short of, week by week. The forecast is by the
    method that erred least on the later half of the weeks; the reorder point is what is expected
    until a delivery, and a safety stock for the service level. What each number comes of stands in
    `why`.
    """

    roles = grants(read=EVERYONE)
    query = ReorderQuery
    output = ReorderOutput
    costed_output = ReorderCostedOutput
    renderer_classes = (PlainJSONRenderer, CSVRenderer)

    def reorder_report(self) -> Response:
        """Return the report, as JSON or as a sheet."""
        rows = reorder_report(now=timezone.now(), **self.checked_query())
        return Response(self.representation({"items": rows}))

    def output_fields(self) -> Sequence[str]:
        """Return the columns of the sheet."""
        return list(self.output_class()().fields["items"].child.fields)


class ReorderBySupplierViewSet(CostsForOffice):
    """What to order of whom: the rows of the reorder report that need ordering, by supplier."""

    roles = grants(read=EVERYONE)
    output = ReorderBySupplierOutput
    costed_output = ReorderBySupplierCostedOutput

    def reorder_by_supplier(self) -> Response:
        """Return what need be ordered, by supplier."""
        groups = reorder_by_supplier(now=timezone.now())
        return Response(self.representation({"items": groups}))
