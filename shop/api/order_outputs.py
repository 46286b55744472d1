"""What is answered about purchase orders; what they cost is for the office and the owner."""

from typing import Any

from rest_framework import serializers

from shop.actions.order_lines import contents_of, stock_unit_of
from shop.http.amounts import AmountField, PriceField, QuantityField
from shop.http.serializers import RowSerializer
from shop.models import PurchaseOrder, PurchaseOrderLine
from shop.rules.quantities import plain
from shop.rules.units import split


class OrderLineOutput(serializers.Serializer[Any]):
    """Packs of a part, as ordered, and how many of them came, went back and are open.

    After an order is closed `open_packs` never came; `over_packs` came beyond the order.
    """

    position = serializers.IntegerField()
    part = serializers.CharField(source="part.code")
    unit = serializers.CharField(source="part.unit")
    supplier_part_number = serializers.CharField()
    description = serializers.CharField()
    pack = serializers.CharField(source="pack_text")
    units_per_pack = serializers.SerializerMethodField()
    packs = serializers.IntegerField()
    received_packs = serializers.IntegerField()
    received_quantity = QuantityField()
    returned_packs = serializers.IntegerField()
    open_packs = serializers.IntegerField()
    over_packs = serializers.IntegerField()

    def get_units_per_pack(self, line: PurchaseOrderLine) -> str:
        """Return the whole steps of the part's unit in a pack."""
        return plain(split(contents_of(line), stock_unit_of(line.part).step).quantity)


class OrderLineCostedOutput(OrderLineOutput):
    """The same, with the price of a pack and what the line comes to."""

    pack_price = PriceField(required=False)
    net_amount = AmountField(required=False)


class PurchaseOrderSummaryOutput(RowSerializer):
    """A purchase order in a list."""

    supplier_name = serializers.CharField(source="supplier.name")
    line_count = serializers.IntegerField()

    class Meta:
        model = PurchaseOrder
        fields: tuple[str, ...] = (
            *("id", "number", "status", "supplier", "supplier_name", "line_count"),
            *("drafted_at", "sent_on", "expected_on", "closed_at"),
        )


class PurchaseOrderSummaryCostedOutput(PurchaseOrderSummaryOutput):
    """The same, with what the order comes to before tax."""

    net_total = AmountField(required=False)

    class Meta(PurchaseOrderSummaryOutput.Meta):
        fields = (*PurchaseOrderSummaryOutput.Meta.fields, "currency", "net_total")


def party() -> serializers.DictField:
    """Return the field of a party's name and address, null in a draft."""
    return serializers.DictField(child=serializers.CharField(), allow_null=True)


IN_FULL = (
    *("notes", "drafted_by", "sent_at", "sent_by", "seller", "buyer"),
    *("closed_by", "closing_reason", "lines"),
)


class PurchaseOrderOutput(PurchaseOrderSummaryOutput):
    """A purchase order with its lines; seller and buyer as they were when it was sent."""

    seller = party()
    buyer = party()
    lines = OrderLineOutput(many=True)

    class Meta(PurchaseOrderSummaryOutput.Meta):
        fields = (*PurchaseOrderSummaryOutput.Meta.fields, *IN_FULL)


class PurchaseOrderCostedOutput(PurchaseOrderSummaryCostedOutput):
    """A purchase order with its lines; seller and buyer as they were when it was sent.

    The office and the owner alone see prices and amounts.
    """

    seller = party()
    buyer = party()
    lines = OrderLineCostedOutput(many=True)

    class Meta(PurchaseOrderSummaryCostedOutput.Meta):
        fields = (*PurchaseOrderSummaryCostedOutput.Meta.fields, *IN_FULL)


class OrderSheetRowOutput(serializers.Serializer[Any]):
    """A line of an order as the supplier reads it."""

    order_number = serializers.CharField(source="order.number")
    position = serializers.IntegerField()
    supplier_part_number = serializers.CharField()
    part = serializers.CharField(source="part.code")
    description = serializers.CharField()
    pack = serializers.CharField(source="pack_text")
    packs = serializers.IntegerField()
    pack_price = PriceField()
    net_amount = AmountField()
    currency = serializers.CharField(source="order.currency")


class OrderSheetOutput(serializers.Serializer[Any]):
    """The lines of an order."""

    items = OrderSheetRowOutput(many=True)
