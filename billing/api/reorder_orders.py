"""Orders of what the reorder report suggests."""

from typing import Any

from django.utils import timezone
from rest_framework import serializers
from rest_framework.response import Response

from billing.actions.reordering import reorder_draft
from shop.actions.orders import Drafted
from shop.http.amounts import AmountField
from shop.http.permissions import OFFICE, grants
from shop.http.serializers import StrictSerializer
from shop.http.views import ShopViewSet
from shop.models import PurchaseOrder
from shop.queries.purchasing import orders

MOST_SUPPLIERS = 200


class ReorderOrdersInput(StrictSerializer):
    """Whom to order from, by id; of all suppliers when left out."""

    suppliers = serializers.ListField(
        child=serializers.IntegerField(min_value=1),
        allow_empty=False,
        max_length=MOST_SUPPLIERS,
        required=False,
    )


class DraftedOrderOutput(serializers.Serializer[Any]):
    """A draft that was made; it can be looked at, changed and sent as any other."""

    id = serializers.IntegerField()
    supplier = serializers.IntegerField(source="supplier_id")
    supplier_name = serializers.CharField(source="supplier.name")
    line_count = serializers.IntegerField()
    currency = serializers.CharField()
    net_total = AmountField()
    minimum_order_value = AmountField(source="supplier.minimum_order_value")
    is_below_minimum = serializers.SerializerMethodField()

    def get_is_below_minimum(self, order: Any) -> bool:
        """Return whether the supplier takes no order of so little."""
        return bool(order.net_total < order.supplier.minimum_order_value)


class LeftOutOutput(serializers.Serializer[Any]):
    """A part that is wanted and that no order was drafted for, and why."""

    part = serializers.CharField(source="part.code")
    code = serializers.ChoiceField(["already-drafted", "no-supplier"])
    detail = serializers.CharField()


class ReorderOrdersOutput(serializers.Serializer[Any]):
    """The drafts, by supplier, and what was left out of them."""

    orders = DraftedOrderOutput(many=True)
    left_out = LeftOutOutput(many=True)


class ReorderOrdersViewSet(ShopViewSet):
    """Drafts of orders for what the reorder report suggests, one for each supplier.

    Packs and offers are those of the report. What stands on a draft already is left out, and said
    so; what was sent and is awaited, the report has counted.
    """

    model = PurchaseOrder
    roles = grants(write=OFFICE)
    create_input = ReorderOrdersInput
    output = ReorderOrdersOutput

    def create(self) -> Response:
        """Return the drafts that were made."""
        suppliers = self.checked().get("suppliers")
        batch = reorder_draft(drafted=Drafted(timezone.now(), self.user), supplier_ids=suppliers)
        made = orders().filter(pk__in=[order.pk for order in batch.orders])
        rows = made.order_by("supplier__name", "pk")
        return self.shown({"orders": rows, "left_out": batch.left_out}, 201)
