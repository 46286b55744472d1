"""What came of purchase orders, and what went back to suppliers."""

from decimal import Decimal
from typing import Any, ClassVar

import django_filters
from django.db.models import QuerySet
from django.utils import timezone
from rest_framework import serializers

from shop.actions.receipts import PacksCounted
from shop.api.costs import CostsForOffice
from shop.api.stock_lines import LEAST_QUANTITY, MOST_LINES, place_field
from shop.api.supplier_offers import MOST_PACKS
from shop.http.amounts import (
    AmountField,
    AmountInputField,
    CurrencyField,
    PriceField,
    QuantityField,
)
from shop.http.filters import IdFilter, InstantRangeFilter, Order, TrueFalseFilter
from shop.http.permissions import EVERYONE, grants
from shop.http.records import Listed, Retrieved
from shop.http.serializers import RowSerializer, StrictSerializer, TextField
from shop.models import Receipt, SupplierReturn
from shop.queries.purchasing import receipts, supplier_returns


class ReturnedPacksInput(StrictSerializer):
    """Packs of the line at a position of the order.

    `counted_quantity` is what they really hold, in the part's unit, where somebody has counted.
    """

    position = serializers.IntegerField(min_value=1)
    packs = serializers.IntegerField(min_value=1, max_value=MOST_PACKS)
    counted_quantity = serializers.DecimalField(
        max_digits=11, decimal_places=3, min_value=LEAST_QUANTITY, required=False, allow_null=True
    )


class ReceivedPacksInput(ReturnedPacksInput):
    """The same, with what one pack cost where that is not what was ordered."""

    pack_price = serializers.DecimalField(
        max_digits=14, decimal_places=4, min_value=0, required=False, allow_null=True
    )


def packs_of(line: type[ReturnedPacksInput]) -> serializers.ListSerializer[Any]:
    """Return the field of a paper's lines."""
    return serializers.ListSerializer(child=line(), allow_empty=False, max_length=MOST_LINES)


class ReceiptInput(StrictSerializer):
    """What came together, and what it cost to get it here, in the shop's currency.

    Freight, duty and other costs (handling, taxes that are not recovered) are spread over the
    lines by value. The day is today when left out. More than was ordered is refused unless
    `accept_more_than_ordered` says that it is kept.
    """

    place = place_field()
    delivery_note = TextField(max_length=100, default="", allow_blank=True)
    received_on = serializers.DateField(required=False)
    lines = packs_of(ReceivedPacksInput)
    freight_amount = AmountInputField(default=Decimal(0))
    duty_amount = AmountInputField(default=Decimal(0))
    other_amount = AmountInputField(default=Decimal(0))
    currency = CurrencyField()
    accept_more_than_ordered = serializers.BooleanField(default=False)

    default_error_messages: ClassVar = {"to_come": "This day is still to come."}

    def validate_received_on(self, day: Any) -> Any:
        """Return the day.

        Raises:
            ValidationError: it is still to come.
        """
        if day > timezone.localdate():
            self.fail("to_come")
        return day


class SupplierReturnInput(StrictSerializer):
    """What goes back to the supplier, from where and why; `is_replaced` is awaited again."""

    place = place_field()
    reason = TextField(max_length=200)
    is_replaced = serializers.BooleanField(default=False)
    lines = packs_of(ReturnedPacksInput)


def counted(values: Any) -> list[PacksCounted]:
    """Return the lines of a paper as they were sent."""
    return [PacksCounted(**line) for line in values["lines"]]


class MovedLineOutput(serializers.Serializer[Any]):
    """Packs of the line at a position of the order, and what they are in the part's unit."""

    position = serializers.IntegerField(source="order_line.position")
    part = serializers.CharField(source="order_line.part.code")
    packs = serializers.IntegerField()
    quantity = QuantityField()
    move = serializers.IntegerField(source="move_id")


class ReceiptLineOutput(MovedLineOutput):
    """The same; they should have held `stated_quantity`. Kept beyond the order or not."""

    stated_quantity = QuantityField()
    is_over_accepted = serializers.BooleanField()


class ReceiptLineCostedOutput(ReceiptLineOutput):
    """The same, with what the packs cost and their share of freight, duty and the rest."""

    pack_price = PriceField(required=False)
    goods_amount = AmountField(required=False)
    landed_amount = AmountField(required=False)


class ReceiptOutput(RowSerializer):
    """Goods of an order that came together."""

    order_number = serializers.CharField(source="order.number")
    lines = ReceiptLineOutput(many=True)

    class Meta:
        model = Receipt
        fields: tuple[str, ...] = (
            *("id", "order", "order_number", "place", "delivery_note", "received_on"),
            *("received_at", "received_by", "lines"),
        )


class ReceiptCostedOutput(ReceiptOutput):
    """Goods of an order that came together, with what the office and the owner alone see."""

    lines = ReceiptLineCostedOutput(many=True)
    freight_amount = AmountField(required=False)
    duty_amount = AmountField(required=False)
    other_amount = AmountField(required=False)

    class Meta(ReceiptOutput.Meta):
        fields = (
            *ReceiptOutput.Meta.fields,
            *("freight_amount", "duty_amount", "other_amount"),
        )


class SupplierReturnLineCostedOutput(MovedLineOutput):
    """The same, with what the quantity is worth."""

    value = AmountField(source="move.value", required=False)


class SupplierReturnOutput(RowSerializer):
    """Goods of an order that went back together."""

    order_number = serializers.CharField(source="order.number")
    lines = MovedLineOutput(many=True)

    class Meta:
        model = SupplierReturn
        fields: tuple[str, ...] = (
            *("id", "order", "order_number", "place", "reason", "is_replaced"),
            *("returned_at", "returned_by", "lines"),
        )


class SupplierReturnCostedOutput(SupplierReturnOutput):
    """Goods of an order that went back together, with what the office and the owner alone see."""

    lines = SupplierReturnLineCostedOutput(many=True)


class ReceiptFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By order, supplier, and time."""

    purchase_order = IdFilter(field_name="order")
    supplier = IdFilter(field_name="order__supplier")
    delivery_note = django_filters.CharFilter(max_length=100)
    received_at = InstantRangeFilter()
    order = Order(fields=["received_at", "id"])

    class Meta:
        model = Receipt
        fields = ()


class ReceiptViewSet(CostsForOffice, Listed, Retrieved):
    """What came of purchase orders, newest first; nothing in it ever changes."""

    model = Receipt
    roles = grants(read=EVERYONE)
    filterset_class = ReceiptFilter
    output = ReceiptOutput
    costed_output = ReceiptCostedOutput

    def rows(self) -> QuerySet[Receipt]:
        """Return the receipts."""
        return receipts()


class SupplierReturnFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By order, supplier, whether it is to be replaced, and time."""

    purchase_order = IdFilter(field_name="order")
    supplier = IdFilter(field_name="order__supplier")
    is_replaced = TrueFalseFilter()
    returned_at = InstantRangeFilter()
    order = Order(fields=["returned_at", "id"])

    class Meta:
        model = SupplierReturn
        fields = ()


class SupplierReturnViewSet(CostsForOffice, Listed, Retrieved):
    """What went back to suppliers, newest first; nothing in it ever changes."""

    model = SupplierReturn
    roles = grants(read=EVERYONE)
    filterset_class = SupplierReturnFilter
    output = SupplierReturnOutput
    costed_output = SupplierReturnCostedOutput

    def rows(self) -> QuerySet[SupplierReturn]:
        """Return the returns."""
        return supplier_returns()
