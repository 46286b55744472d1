"""What suppliers offer, what is ordered from them, and what came of it."""

from decimal import Decimal
from typing import Any

from django.db.models import (
    Case,
    Count,
    DecimalField,
    F,
    Func,
    IntegerField,
    OuterRef,
    Prefetch,
    QuerySet,
    Subquery,
    Sum,
    Value,
    When,
)
from django.db.models.functions import Coalesce, Greatest

from shop.models import (
    AWAITED,
    WHOLE_UNITS,
    PurchaseOrder,
    PurchaseOrderLine,
    Receipt,
    ReceiptLine,
    SupplierOffer,
    SupplierReturn,
    SupplierReturnLine,
)
from shop.queries.lead_times import with_lead_times

QUANTITY = DecimalField(max_digits=14, decimal_places=3)
NOTHING = Value(Decimal(0), output_field=QUANTITY)


def offers() -> QuerySet[SupplierOffer]:
    """Return the suppliers' offers with their prices and observed lead times, oldest first."""
    rows = SupplierOffer.objects.select_related("supplier", "part")
    return (
        with_lead_times(rows, order_line__part="part", order_line__order__supplier="supplier")
        .prefetch_related("price_breaks")
        .order_by("id")
    )


def order_lines() -> QuerySet[Any]:
    """Return the lines of orders, each with how many of its packs came, went back and are open.

    They are `PurchaseOrderLine`s. What came beyond the order is `over_packs`. Of what went back
    only that counts as open again which is to be replaced.
    """
    received = ReceiptLine.objects.filter(order_line=OuterRef("pk"))
    returned = SupplierReturnLine.objects.filter(order_line=OuterRef("pk"))
    replaced = returned.filter(supplierreturn__is_replaced=True)
    rows = PurchaseOrderLine.objects.select_related("part").annotate(
        received_packs=_packs(received),
        received_quantity=Coalesce(_sum(received, "quantity"), NOTHING),
        returned_packs=_packs(returned),
        replaced_packs=_packs(replaced),
    )
    left = F("packs") - F("received_packs") + F("replaced_packs")
    return rows.annotate(
        open_packs=Greatest(left, 0, output_field=IntegerField()),
        over_packs=Greatest(-left, 0, output_field=IntegerField()),
    ).order_by("position")


def _packs(lines: "QuerySet[ReceiptLine] | QuerySet[SupplierReturnLine]") -> Coalesce:
    return Coalesce(_sum(lines, "packs"), 0, output_field=IntegerField())


def _sum(lines: "QuerySet[ReceiptLine] | QuerySet[SupplierReturnLine]", column: str) -> Subquery:
    totals = lines.order_by().values("order_line").annotate(total=Sum(column))
    return Subquery(totals.values("total"))


def orders() -> QuerySet[PurchaseOrder]:
    """Return the purchase orders with their suppliers and totals, newest first."""
    lines = PurchaseOrderLine.objects.filter(order=OuterRef("pk")).order_by().values("order")
    return (
        PurchaseOrder.objects.select_related("supplier")
        .annotate(
            net_total=Coalesce(
                Subquery(lines.annotate(total=Sum("net_amount")).values("total")), NOTHING
            ),
            line_count=Coalesce(Subquery(lines.annotate(count=Count("pk")).values("count")), 0),
        )
        .order_by("-drafted_at", "-id")
    )


def orders_in_full() -> QuerySet[PurchaseOrder]:
    """Return the purchase orders with their lines and how these stand."""
    return orders().prefetch_related(Prefetch("lines", queryset=order_lines()))


def receipts() -> QuerySet[Receipt]:
    """Return the receipts of orders with their lines, newest first."""
    lines = ReceiptLine.objects.select_related("order_line__part").order_by("id")
    rows = Receipt.objects.select_related("order")
    return rows.prefetch_related(Prefetch("lines", lines)).order_by("-received_at", "-id")


def supplier_returns() -> QuerySet[SupplierReturn]:
    """Return the returns to suppliers with their lines, newest first."""
    lines = SupplierReturnLine.objects.select_related("order_line__part", "move").order_by("id")
    rows = SupplierReturn.objects.select_related("order")
    return rows.prefetch_related(Prefetch("lines", lines)).order_by("-returned_at", "-id")


def on_order() -> QuerySet[Any]:
    """Return lines of the orders that goods are awaited of, with their `awaited_quantity`.

    That is in the part's unit, in whole steps of it.
    """
    steps = Case(
        When(part__unit__in=WHOLE_UNITS, then=Value(1)),
        default=Value(1000),
        output_field=DecimalField(max_digits=4, decimal_places=0),
    )
    exact = F("open_packs") * F("contents_numerator") * steps
    whole_steps = Func(exact, F("contents_denominator"), function="div", output_field=QUANTITY)
    lines = order_lines().filter(order__status__in=AWAITED, open_packs__gt=0)
    rows: QuerySet[Any] = lines.annotate(awaited_quantity=whole_steps / steps)
    return rows
