"""Purchase orders: drafted, sent, closed. What comes of them is in `receipts`."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from django.conf import settings
from django.db import transaction
from django.db.models import Sum

from shop.actions.bulk import Rows, columns_of, rows_insert
from shop.actions.number_series import number_take
from shop.actions.order_lines import OrderLineDraft, lines_priced, packs_on_sale
from shop.errors import Refused
from shop.models import (
    OrderSeries,
    OrderStatus,
    PurchaseOrder,
    PurchaseOrderLine,
    ShopProfile,
    Supplier,
    User,
)
from shop.rules.money import minor_units, rounded

ORDER_SERIES = "purchase order"
ADDRESS = ["name", "street", "city", "postcode", "country", "email", "phone"]


@dataclass(frozen=True)
class Drafted:
    """When an order was drafted, and by whom."""

    drafted_at: datetime
    drafted_by: User


def order_new(supplier: Supplier, drafted: Drafted, **columns: Any) -> PurchaseOrder:
    """Return a draft that is not stored yet, in the shop's currency."""
    return PurchaseOrder(
        supplier=supplier,
        currency=settings.CURRENCY,
        minor_units=minor_units(settings.CURRENCY),
        drafted_at=drafted.drafted_at,
        drafted_by=drafted.drafted_by,
        **columns,
    )


def order_lock(order_id: int) -> PurchaseOrder:
    """Return an order with its supplier, locked until the transaction ends."""
    rows = PurchaseOrder.objects.select_for_update(of=("self",)).select_related("supplier")
    return rows.get(pk=order_id)


@transaction.atomic
def order_draft(
    *,
    supplier: Supplier,
    lines: list[OrderLineDraft],
    drafted: Drafted,
    notes: str = "",
    expected_on: date | None = None,
) -> PurchaseOrder:
    """Return a new draft, with the supplier's packs and prices.

    Raises:
        Refused: `not-offered`, `offer-ambiguous` or `too-few-packs`, naming every such line.
    """
    order = order_new(supplier, drafted, notes=notes, expected_on=expected_on)
    written = _lines_priced(order, lines)
    order.save(force_insert=True)
    lines_insert(order, written)
    return order


def _lines_priced(
    order: PurchaseOrder, drafts: Sequence[OrderLineDraft]
) -> list[PurchaseOrderLine]:
    on_sale = packs_on_sale(order.supplier, [draft.part.pk for draft in drafts])
    return lines_priced(order=order, drafts=drafts, on_sale=on_sale)


def lines_insert(order: PurchaseOrder, lines: list[PurchaseOrderLine]) -> None:
    """Store the lines of a draft that is stored."""
    rows_insert(
        Rows(PurchaseOrderLine, [columns_of(line) | {"order_id": order.pk} for line in lines])
    )


@transaction.atomic
def order_change(*, order: PurchaseOrder, changes: Mapping[str, Any]) -> PurchaseOrder:
    """Change a draft, or put off when the goods of one that was sent are expected.

    `lines` replace those that there are.

    Raises:
        Refused: `order-sent`, or as `order_draft`.
    """
    order = order_lock(order.pk)
    columns = {name: value for name, value in changes.items() if name != "lines"}
    if order.status != OrderStatus.DRAFT and set(changes) - {"expected_on"}:
        raise Refused(
            "order-sent", f"Order {order.number} was sent; only `expected_on` can change."
        )
    if order.status != OrderStatus.DRAFT and not columns.get("expected_on", True):
        raise Refused("order-sent", "Of an order that was sent, goods are expected some day.")
    for name, value in columns.items():
        setattr(order, name, value)
    order.save(update_fields=list(columns))
    if "lines" in changes:
        order.lines.all().delete()
        lines_insert(order, _lines_priced(order, changes["lines"]))
    return order


@transaction.atomic
def order_discard(*, order: PurchaseOrder) -> None:
    """Throw a draft away.

    Raises:
        Refused: `order-sent`.
    """
    order = order_lock(order.pk)
    if order.status != OrderStatus.DRAFT:
        raise Refused("order-sent", f"Order {order.number} was sent; close it instead.")
    order.delete()


@transaction.atomic
def order_send(
    *,
    order: PurchaseOrder,
    sent_at: datetime,
    sent_on: date,
    sent_by: User,
    accept_below_minimum: bool = False,
) -> PurchaseOrder:
    """Give a draft the next number of its year and freeze it; the goods are awaited from now on.

    Raises:
        Refused: `order-sent`, `order-empty`, or `below-minimum-order` unless that is accepted.
    """
    order = order_lock(order.pk)
    if order.status != OrderStatus.DRAFT:
        raise Refused("order-sent", f"Order {order.number} was sent already.")
    _refuse_below_minimum(order, is_accepted=accept_below_minimum)
    order.status = OrderStatus.SENT
    order.sent_at, order.sent_on, order.sent_by = sent_at, sent_on, sent_by
    order.expected_on = order.expected_on or sent_on + timedelta(days=order.supplier.lead_time_days)
    order.seller = party_of(order.supplier)
    order.buyer = party_of(ShopProfile.objects.get())
    # Taken last, so that the series is locked as shortly as can be.
    order.series = number_take(series=OrderSeries, code=ORDER_SERIES, year=sent_on.year)
    order.sequence = order.series.last_number
    order.number = f"PO-{sent_on.year}-{order.sequence:05d}"
    order.save()
    return order


def _refuse_below_minimum(order: PurchaseOrder, *, is_accepted: bool) -> None:
    total = order.lines.aggregate(total=Sum("net_amount"))["total"]
    if total is None:
        raise Refused("order-empty", "The order has no lines; add some first.")
    least = order.supplier.minimum_order_value
    if total < least and not is_accepted:
        sums = [f"{rounded(each, order.minor_units):f} {order.currency}" for each in (total, least)]
        raise Refused(
            "below-minimum-order",
            f"The order comes to {sums[0]}; {order.supplier.name} takes orders of {sums[1]} or"
            " more. Order more, or send `accept_below_minimum`.",
        )


def party_of(row: Supplier | ShopProfile) -> dict[str, str]:
    """Return who a supplier, or the shop, is on paper."""
    names = [*ADDRESS, "customer_number"] if isinstance(row, Supplier) else ADDRESS
    return {name: getattr(row, name) for name in names}


@transaction.atomic
def order_close(
    *, order: PurchaseOrder, reason: str, closed_at: datetime, closed_by: User
) -> PurchaseOrder:
    """Close an order: what is still open of it is not awaited any more.

    Raises:
        Refused: `order-not-awaited`.
    """
    order = order_lock(order.pk)
    refuse_unless_awaited(order)
    order_mark_closed(order, closed_at=closed_at, closed_by=closed_by, reason=reason)
    return order


def refuse_unless_awaited(order: PurchaseOrder) -> None:
    """Refuse an order that goods are not awaited of: a draft, or one that is closed."""
    if order.status == OrderStatus.DRAFT:
        raise Refused("order-not-awaited", "The order is a draft; send it first.")
    if order.status == OrderStatus.CLOSED:
        raise Refused("order-not-awaited", f"Order {order.number} is closed.")


def order_mark_closed(
    order: PurchaseOrder, *, closed_at: datetime, closed_by: User, reason: str = ""
) -> None:
    """Store that nothing more is awaited of an order, which is locked."""
    order.status = OrderStatus.CLOSED
    order.closed_at, order.closed_by, order.closing_reason = closed_at, closed_by, reason
    order.save(update_fields=["status", "closed_at", "closed_by", "closing_reason"])
