"""Purchase orders: drafted, sent to the supplier, received in parts, closed."""

from collections.abc import Sequence
from typing import Any, ClassVar

import django_filters
from django.db.models import QuerySet
from django.utils import timezone
from rest_framework import serializers
from rest_framework.response import Response
from rest_framework.reverse import reverse

from shop.actions.order_lines import OrderLineDraft
from shop.actions.orders import (
    Drafted,
    order_change,
    order_close,
    order_discard,
    order_draft,
    order_send,
)
from shop.actions.receipts import Delivery, order_receive
from shop.actions.supplier_returns import Return, order_return
from shop.api.costs import CostsForOffice
from shop.api.order_outputs import (
    OrderSheetOutput,
    OrderSheetRowOutput,
    PurchaseOrderCostedOutput,
    PurchaseOrderOutput,
    PurchaseOrderSummaryCostedOutput,
    PurchaseOrderSummaryOutput,
)
from shop.api.receipts import (
    ReceiptCostedOutput,
    ReceiptInput,
    SupplierReturnCostedOutput,
    SupplierReturnInput,
    counted,
)
from shop.api.stock_lines import MOST_LINES
from shop.api.supplier_offers import MOST_PACKS
from shop.http.amounts import CurrencyField
from shop.http.filters import IdFilter, InstantRangeFilter, Order
from shop.http.permissions import EVERYONE, OFFICE, grants
from shop.http.records import Changed, Created, Deleted, Listed, Retrieved
from shop.http.serializers import RowField, StrictSerializer, TextField
from shop.http.verbs import report, verb
from shop.http.views import Values
from shop.models import OrderStatus, Part, PurchaseOrder, PurchaseOrderLine, Supplier
from shop.queries.purchasing import orders, orders_in_full, receipts, supplier_returns


class OrderLineInput(StrictSerializer):
    """Packs of a part, by its code.

    `offer` is the id of the supplier's offer, needed where they sell several packs of the part.
    `pack_price` is a price that was agreed, in place of the offer's.
    """

    part = TextField(max_length=60)
    packs = serializers.IntegerField(min_value=1, max_value=MOST_PACKS)
    offer = serializers.IntegerField(
        source="offer_id", min_value=1, required=False, allow_null=True
    )
    pack_price = serializers.DecimalField(
        max_digits=14, decimal_places=4, min_value=0, required=False, allow_null=True
    )


class PurchaseOrderChangeInput(StrictSerializer):
    """A draft; lines that are sent replace those that there are.

    Of an order that was sent only `expected_on` can change. Left out or null in a draft, it follows
    from the supplier's lead time.
    """

    lines: serializers.ListSerializer[Any] = serializers.ListSerializer(
        child=OrderLineInput(), allow_empty=False, max_length=MOST_LINES
    )
    notes = TextField(max_length=2000, multiline=True, required=False, allow_blank=True)
    expected_on = serializers.DateField(required=False, allow_null=True)
    currency = CurrencyField()

    default_error_messages: ClassVar = {"unknown_part": "There is no part with this code."}

    def validate_lines(self, lines: list[dict[str, Any]]) -> list[OrderLineDraft]:
        """Return the lines with their parts, all found by one query.

        Raises:
            ValidationError: at each line whose part is unknown.
        """
        parts = Part.objects.in_bulk({line["part"] for line in lines}, field_name="code")
        unknown = serializers.ErrorDetail(str(self.error_messages["unknown_part"]), "unknown_part")
        wrong = [{} if line["part"] in parts else {"part": [unknown]} for line in lines]
        if any(wrong):
            raise serializers.ValidationError(wrong)
        return [OrderLineDraft(**{**line, "part": parts[line["part"]]}) for line in lines]


class PurchaseOrderCreateInput(PurchaseOrderChangeInput):
    """A new draft."""

    supplier = RowField(queryset=Supplier.objects.all())


class OrderSendInput(StrictSerializer):
    """Whether an order below the supplier's minimum is sent all the same."""

    accept_below_minimum = serializers.BooleanField(default=False)


class OrderCloseInput(StrictSerializer):
    """Why nothing more is awaited."""

    reason = TextField(max_length=200, default="", allow_blank=True)


class PurchaseOrderFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By supplier, status, number, a part on it, and days."""

    supplier = IdFilter()
    status = django_filters.ChoiceFilter(choices=OrderStatus.choices)
    number = django_filters.CharFilter(max_length=30)
    part = django_filters.CharFilter(method="with_part", max_length=60)
    drafted_at = InstantRangeFilter()
    expected_on = django_filters.DateFromToRangeFilter()
    order = Order(fields=["drafted_at", "id"])

    class Meta:
        model = PurchaseOrder
        fields = ()

    def with_part(self, rows: QuerySet[Any], _: str, code: str) -> QuerySet[Any]:
        """Return the orders that have a line of the part."""
        lines = PurchaseOrderLine.objects.filter(part__code=code)
        return rows.filter(pk__in=lines.values("order"))


class PurchaseOrderViewSet(CostsForOffice, Listed, Retrieved, Created, Changed, Deleted):
    """Purchase orders, newest first: drafts can be changed and thrown away, others stand."""

    model = PurchaseOrder
    roles = grants(read=EVERYONE, write=OFFICE, sheet=OFFICE)
    filterset_class = PurchaseOrderFilter
    create_input, change_input = PurchaseOrderCreateInput, PurchaseOrderChangeInput
    output, costed_output = PurchaseOrderOutput, PurchaseOrderCostedOutput

    def rows(self) -> QuerySet[PurchaseOrder]:
        """Return the orders."""
        return orders() if self.pages else orders_in_full()

    def output_class(self) -> Any:
        """Return the short form for a list, and what a verb or report gives of its own."""
        full = super().output_class()
        if self.pages:
            is_costed = full is self.costed_output
            return PurchaseOrderSummaryCostedOutput if is_costed else PurchaseOrderSummaryOutput
        return self.gives or full

    def output_fields(self) -> Sequence[str]:
        """Return the columns of the sheet."""
        return list(OrderSheetRowOutput().fields)

    def add(self, values: Values) -> PurchaseOrder:
        """Draft an order."""
        values.pop("currency", None)
        return order_draft(drafted=Drafted(timezone.now(), self.user), **values)

    def change(self, row: PurchaseOrder, values: Values) -> None:
        """Change a draft, or put a sent order off."""
        values.pop("currency", None)
        order_change(order=row, changes=values)

    def remove(self, row: PurchaseOrder) -> None:
        """Throw a draft away."""
        order_discard(order=row)

    @verb(takes=OrderSendInput)
    def send(self) -> Response:
        """Give the draft its number and freeze it; from now on its goods are awaited."""
        order_send(
            order=self.found(),
            sent_at=timezone.now(),
            sent_on=timezone.localdate(),
            sent_by=self.user,
            **self.checked(),
        )
        return self.shown(self.found())

    @verb(takes=OrderCloseInput)
    def close(self) -> Response:
        """Close the order; what is still open of it is not awaited any more."""
        order_close(
            order=self.found(), closed_at=timezone.now(), closed_by=self.user, **self.checked()
        )
        return self.shown(self.found())

    @verb(takes=ReceiptInput, gives=ReceiptCostedOutput, gives_status=201)
    def receipts(self) -> Response:
        """Put away what came, at what it cost, and return the receipt."""
        order, values = self.found(), self.checked()
        values.setdefault("received_on", timezone.localdate())
        values.pop("currency", None)
        accept = values.pop("accept_more_than_ordered")
        lines = counted(values)
        del values["lines"]
        made = order_receive(
            order=order,
            lines=lines,
            delivery=Delivery(**values),
            received_at=timezone.now(),
            received_by=self.user,
            accept_more_than_ordered=accept,
        )
        place = reverse("receipt-detail", kwargs={"pk": made.pk}, request=self.request)
        return self.created(receipts().get(pk=made.pk), place)

    @verb(takes=SupplierReturnInput, gives=SupplierReturnCostedOutput, gives_status=201)
    def returns(self) -> Response:
        """Send packs back to the supplier, and return what went."""
        order, values = self.found(), self.checked()
        lines = counted(values)
        del values["lines"]
        made = order_return(
            order=order,
            lines=lines,
            terms=Return(**values),
            returned_at=timezone.now(),
            returned_by=self.user,
        )
        place = reverse("supplier-return-detail", kwargs={"pk": made.pk}, request=self.request)
        return self.created(supplier_returns().get(pk=made.pk), place)

    @report(gives=OrderSheetOutput, gives_csv=True, of_one=True)
    def sheet(self) -> Response:
        """Return the lines as the supplier reads them, as JSON or as a sheet."""
        return Response(self.representation({"items": self.found().lines.all()}))
