"""What suppliers offer, what is ordered of them, what came and what went back."""

from collections.abc import Iterable
from typing import Any, ClassVar

from django.contrib import admin
from django.db.models import QuerySet
from django.http import HttpRequest
from django.utils import timezone

from shop.admin.columns import amount, count, quantity
from shop.admin.office import ShownAdmin, ShownInline
from shop.models import (
    AWAITED,
    OrderSeries,
    PriceBreak,
    PurchaseOrder,
    PurchaseOrderLine,
    Receipt,
    ReceiptLine,
    SupplierOffer,
    SupplierReturn,
    SupplierReturnLine,
)
from shop.queries.purchasing import order_lines, orders


class PriceBreakInline(ShownInline):
    """What a pack costs by how many are bought."""

    model = PriceBreak
    fields = ("from_packs", amount("price"))


@admin.register(SupplierOffer)
class SupplierOfferAdmin(ShownAdmin):
    """Suppliers' packs; they are kept through the API, which turns a pack into stock units."""

    list_display = (
        "supplier_part_number",
        "supplier",
        "part",
        quantity("pack_amount"),
        "pack_unit",
        "lead_time_days",
    )
    list_select_related = ("supplier", "part")
    search_fields = ("supplier_part_number", "supplier__name", "part__code__startswith")
    ordering = ("supplier__name", "part__code", "id")
    inlines = (PriceBreakInline,)


class OrderLineInline(ShownInline):
    """An order's lines and how they stand."""

    model = PurchaseOrderLine
    fields = (
        "position",
        "supplier_part_number",
        "description",
        "pack_text",
        "packs",
        count("received_packs", "came"),
        count("returned_packs", "went back"),
        count("open_packs", "open"),
        amount("pack_price"),
        amount("net_amount", "net"),
    )

    def get_queryset(self, request: HttpRequest) -> QuerySet[Any]:  # noqa: ARG002
        """Return the lines with how they stand."""
        return order_lines()


class AwaitedFilter(admin.SimpleListFilter):
    """Leaves the orders that goods are awaited of, or should have come of."""

    title = "awaited"
    parameter_name = "awaited"

    def lookups(self, request: HttpRequest, model_admin: Any) -> Iterable[tuple[str, str]]:  # noqa: ARG002
        """Return the choices."""
        return [("yes", "Awaited"), ("late", "Late")]

    def queryset(self, request: HttpRequest, queryset: QuerySet[Any]) -> QuerySet[Any]:  # noqa: ARG002
        """Return the orders chosen."""
        awaited = queryset.filter(status__in=AWAITED)
        match self.value():
            case "yes":
                return awaited
            case "late":
                return awaited.filter(expected_on__lt=timezone.localdate())
        return queryset


@admin.register(PurchaseOrder)
class PurchaseOrderAdmin(ShownAdmin):
    """Purchase orders, newest first."""

    list_display = (
        "__str__",
        "supplier",
        "status",
        "sent_on",
        "expected_on",
        amount("net_total", "net"),
    )
    list_filter = (AwaitedFilter, "status")
    search_fields = ("number", "supplier__name")
    inlines = (OrderLineInline,)

    def get_queryset(self, request: HttpRequest) -> QuerySet[Any]:  # noqa: ARG002
        """Return all orders with what they come to."""
        return orders()


class ReceiptLineInline(ShownInline):
    """What came, at what it cost."""

    model = ReceiptLine
    fields = (
        "order_line",
        "packs",
        quantity("stated_quantity", "should hold"),
        quantity("quantity", "held"),
        "is_over_accepted",
        amount("pack_price"),
        amount("goods_amount", "goods"),
        amount("landed_amount", "freight and the rest"),
    )
    joined = ("order_line",)


@admin.register(Receipt)
class ReceiptAdmin(ShownAdmin):
    """Receipts of orders, newest first."""

    list_display = (
        "received_on",
        "order",
        "place",
        "delivery_note",
        amount("freight_amount", "freight"),
        amount("duty_amount", "duty"),
        amount("other_amount", "other"),
    )
    list_select_related = ("order", "place")
    search_fields = ("delivery_note", "order__number", "order__supplier__name")
    date_hierarchy = "received_on"
    ordering = ("-received_at", "-id")
    inlines = (ReceiptLineInline,)


class SupplierReturnLineInline(ShownInline):
    """What went back."""

    model = SupplierReturnLine
    fields = ("order_line", "packs", quantity("quantity"), "move")
    joined = ("order_line", "move")


@admin.register(SupplierReturn)
class SupplierReturnAdmin(ShownAdmin):
    """Returns to suppliers, newest first."""

    list_display = ("returned_at", "order", "place", "reason", "is_replaced")
    list_filter: ClassVar[tuple[Any, ...]] = ("is_replaced",)
    list_select_related = ("order", "place")
    search_fields = ("reason", "order__number", "order__supplier__name")
    ordering = ("-returned_at", "-id")
    inlines = (SupplierReturnLineInline,)


@admin.register(OrderSeries)
class OrderSeriesAdmin(ShownAdmin):
    """The last number given out to an order in each year."""

    list_display = ("code", "year", "last_number")
    ordering = ("code", "-year")
