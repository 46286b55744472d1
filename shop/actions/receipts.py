"""What comes of a purchase order, in packs that are turned into stock units."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django.db import transaction

from shop.actions.bulk import Rows, columns_of, rows_insert
from shop.actions.order_lines import contents_of, stock_unit_of
from shop.actions.orders import order_lock, order_mark_closed, refuse_unless_awaited
from shop.actions.stock import Posted, Posting, moves_post, refuse_unless_own
from shop.errors import FieldError, InvalidInput, Refused
from shop.models import (
    WHOLE_UNITS,
    MoveReason,
    OrderStatus,
    Place,
    PlaceKind,
    PurchaseOrder,
    PurchaseOrderLine,
    Receipt,
    ReceiptLine,
    User,
)
from shop.queries.purchasing import order_lines
from shop.rules.money import rounded
from shop.rules.purchasing import line_amount
from shop.rules.sharing import shared
from shop.rules.units import next_packs


@dataclass(frozen=True)
class PacksCounted:
    """Packs of the line at a position of the order.

    `counted_quantity` is what they really hold, in the part's unit, where somebody has counted;
    `pack_price` what one cost, where that is not what was ordered.
    """

    position: int
    packs: int
    counted_quantity: Decimal | None = None
    pack_price: Decimal | None = None


@dataclass(frozen=True)
class Delivery:
    """A delivery: where it was put away, and what it cost to get it here."""

    place: Place
    received_on: date
    delivery_note: str = ""
    freight_amount: Decimal = Decimal(0)
    duty_amount: Decimal = Decimal(0)
    other_amount: Decimal = Decimal(0)


@transaction.atomic
def order_receive(
    *,
    order: PurchaseOrder,
    lines: Sequence[PacksCounted],
    delivery: Delivery,
    received_at: datetime,
    received_by: User,
    accept_more_than_ordered: bool = False,
) -> Receipt:
    """Put what came of an order on a shelf or in a van, at what it cost, and return the receipt.

    The order is closed when nothing of it is open any more.

    Raises:
        InvalidInput: `no-such-line`, `quantity-not-whole`, or `amount-too-fine`.
        Refused: `order-not-awaited`, `not-shelf-or-van`, or `more-than-ordered` unless that is
            accepted, naming every such line.
    """
    order = order_lock(order.pk)
    refuse_unless_awaited(order)
    if order.sent_on and delivery.received_on < order.sent_on:
        detail = f"Order {order.number} was sent on {order.sent_on}; goods came after that."
        error = FieldError("/received_on", "before-sent", detail)
        raise InvalidInput("invalid-input", detail, (error,))
    refuse_unless_own(delivery.place, "/place")
    _refuse_too_fine(order, delivery)
    found = lines_counted(order=order, lines=lines)
    if not accept_more_than_ordered:
        _refuse_more_than_ordered(found)
    receipt = _receipt(order, delivery, received_at, received_by)
    written = _lines(receipt, found, order.minor_units, accepted=accept_more_than_ordered)
    _post(written, receipt)
    _settle(order, receipt)
    return receipt


# A line as it stands, from `order_lines`, and what is said of it.
Counted = tuple[Any, PacksCounted]


def lines_counted(*, order: PurchaseOrder, lines: Sequence[PacksCounted]) -> list[Counted]:
    """Return the lines of an order that are named by position, how they stand, and what is said.

    Raises:
        InvalidInput: naming each line that there is not, or whose count is no whole number.
    """
    by_position = {line.position: line for line in order_lines().filter(order=order)}
    errors, found = [], []
    for index, counted in enumerate(lines):
        line = by_position.pop(counted.position, None)
        if line is None:
            detail = f"The order has no line {counted.position}, or it is named twice."
            errors.append(FieldError(f"/lines/{index}/position", "no-such-line", detail))
        elif line.part.unit in WHOLE_UNITS and (counted.counted_quantity or Decimal(0)) % 1:
            errors.append(
                FieldError(
                    f"/lines/{index}/counted_quantity",
                    "quantity-not-whole",
                    "This part is counted in whole numbers.",
                )
            )
        else:
            found.append((line, counted))
    if errors:
        raise InvalidInput("invalid-input", errors[0].detail, tuple(errors))
    return found


def _refuse_too_fine(order: PurchaseOrder, delivery: Delivery) -> None:
    detail = f"{order.currency} has {order.minor_units} decimals."
    errors = tuple(
        FieldError(f"/{name}", "amount-too-fine", detail)
        for name in ("freight_amount", "duty_amount", "other_amount")
        if getattr(delivery, name) != rounded(getattr(delivery, name), order.minor_units)
    )
    if errors:
        raise InvalidInput("invalid-input", detail, errors)


def _refuse_more_than_ordered(found: Sequence[Counted]) -> None:
    errors = tuple(
        FieldError(
            f"/lines/{index}/packs",
            "more-than-ordered",
            f"{line.open_packs} of {line.description} are open, not {counted.packs}.",
        )
        for index, (line, counted) in enumerate(found)
        if counted.packs > line.open_packs
    )
    if errors:
        detail = "More came than was ordered; send `accept_more_than_ordered` to keep it."
        raise Refused("more-than-ordered", detail, errors)


def _receipt(order: PurchaseOrder, delivery: Delivery, at: datetime, by: User) -> Receipt:
    return Receipt(
        order=order,
        place=delivery.place,
        received_on=delivery.received_on,
        received_at=at,
        received_by=by,
        delivery_note=delivery.delivery_note,
        freight_amount=delivery.freight_amount,
        duty_amount=delivery.duty_amount,
        other_amount=delivery.other_amount,
    )


def _lines(
    receipt: Receipt, found: Sequence[Counted], decimals: int, *, accepted: bool
) -> list[ReceiptLine]:
    prices = [
        line.pack_price if counted.pack_price is None else counted.pack_price
        for line, counted in found
    ]
    goods = [
        line_amount(counted.packs, price, decimals)
        for (_, counted), price in zip(found, prices, strict=True)
    ]
    costs = receipt.freight_amount + receipt.duty_amount + receipt.other_amount
    # Goods that are free bear alike.
    landed = shared(costs, goods if any(goods) else [Decimal(1)] * len(goods), decimals)
    lines = []
    for index, (line, counted) in enumerate(found):
        stated = quantity_of(line, line.received_packs, counted.packs)
        lines.append(
            ReceiptLine(
                receipt=receipt,
                order_line=line,
                packs=counted.packs,
                stated_quantity=stated,
                quantity=stated if counted.counted_quantity is None else counted.counted_quantity,
                is_over_accepted=accepted and counted.packs > line.open_packs,
                pack_price=prices[index],
                goods_amount=goods[index],
                landed_amount=landed[index],
            )
        )
    return lines


def quantity_of(line: PurchaseOrderLine, packs_before: int, packs: int) -> Decimal:
    """Return what packs of an order's line are in stock units, after so many of the same."""
    return next_packs(
        contents_of(line), packs_before, packs, stock_unit_of(line.part).step
    ).quantity


def _post(lines: list[ReceiptLine], receipt: Receipt) -> None:
    suppliers = Place.objects.get(kind=PlaceKind.SUPPLIER)
    moves = moves_post(
        postings=[
            Posting(
                line.order_line.part_id,
                suppliers.pk,
                receipt.place_id,
                line.quantity,
                line.goods_amount + line.landed_amount,
            )
            for line in lines
        ],
        reason=MoveReason.RECEIVED,
        posted=Posted(receipt.received_at, receipt.received_by, receipt.order.number),
    )
    receipt.save(force_insert=True)
    for line, move in zip(lines, moves, strict=True):
        line.receipt_id, line.move_id = receipt.pk, move.pk
    rows_insert(Rows(ReceiptLine, [columns_of(line) for line in lines]))


def _settle(order: PurchaseOrder, receipt: Receipt) -> None:
    """Store whether something of the order is still open."""
    if not order_lines().filter(order=order, open_packs__gt=0).exists():
        order_mark_closed(order, closed_at=receipt.received_at, closed_by=receipt.received_by)
    elif order.status != OrderStatus.PART_RECEIVED:
        order.status = OrderStatus.PART_RECEIVED
        order.save(update_fields=["status"])
