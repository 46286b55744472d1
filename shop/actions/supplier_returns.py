"""What goes back to a supplier, by the order that it came with."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from django.conf import settings
from django.db import transaction

from shop.actions.bulk import Rows, columns_of, rows_insert
from shop.actions.orders import order_lock
from shop.actions.receipts import Counted, PacksCounted, lines_counted, quantity_of
from shop.actions.stock import (
    Held,
    Posted,
    Posting,
    holdings_lock,
    levels_at,
    moves_post,
    refuse_unless_own,
)
from shop.errors import FieldError, Refused
from shop.models import (
    MoveReason,
    OrderStatus,
    Place,
    PlaceKind,
    PurchaseOrder,
    SupplierReturn,
    SupplierReturnLine,
    User,
)
from shop.rules.money import minor_units
from shop.rules.quantities import plain
from shop.rules.valuation import value_taken


@dataclass(frozen=True)
class Return:
    """From where goods go back and why, and whether the supplier is to replace them."""

    place: Place
    reason: str
    is_replaced: bool


@transaction.atomic
def order_return(
    *,
    order: PurchaseOrder,
    lines: Sequence[PacksCounted],
    terms: Return,
    returned_at: datetime,
    returned_by: User,
) -> SupplierReturn:
    """Take packs from a shelf or van back to the supplier, at the average cost.

    What is to be replaced is awaited again, of an order that was closed too.

    Raises:
        InvalidInput: `no-such-line` or `quantity-not-whole`.
        Refused: `not-shelf-or-van`, `more-than-received`, or `stock-short`, naming every line.
    """
    order = order_lock(order.pk)
    refuse_unless_own(terms.place, "/place")
    found = lines_counted(order=order, lines=lines)
    _refuse_more_than_received(found)
    quantities = [_quantity(line) for line in found]
    holdings = holdings_lock(line.part_id for line, _ in found)
    _refuse_short(found, quantities, terms.place)
    paper = SupplierReturn(
        order=order,
        place=terms.place,
        reason=terms.reason,
        is_replaced=terms.is_replaced,
        returned_at=returned_at,
        returned_by=returned_by,
    )
    _write(paper, found, quantities, holdings)
    if terms.is_replaced and order.status == OrderStatus.CLOSED:
        _reopen(order)
    return paper


def _quantity(found: Counted) -> Decimal:
    line, counted = found
    if counted.counted_quantity is not None:
        return counted.counted_quantity
    return quantity_of(line, line.returned_packs, counted.packs)


def _refuse_more_than_received(found: Sequence[Counted]) -> None:
    errors = tuple(
        FieldError(
            f"/lines/{index}/packs",
            "more-than-received",
            f"{line.received_packs - line.returned_packs} of {line.description} are here from this"
            f" order, not {counted.packs}.",
        )
        for index, (line, counted) in enumerate(found)
        if counted.packs > line.received_packs - line.returned_packs
    )
    if errors:
        raise Refused("more-than-received", "That is more than came of this order.", errors)


def _refuse_short(found: Sequence[Counted], quantities: Sequence[Decimal], place: Place) -> None:
    left = levels_at(place, [line.part_id for line, _ in found])
    errors = []
    for index, ((line, _), quantity) in enumerate(zip(found, quantities, strict=True)):
        there = left.get(line.part_id, Decimal(0))
        if quantity > there:
            sentence = f"{place.name} holds {plain(there)}, not {plain(quantity)}."
            errors.append(FieldError(f"/lines/{index}/packs", "stock-short", sentence))
        left[line.part_id] = there - quantity
    if errors:
        raise Refused("stock-short", f"{place.name} holds less than that.", tuple(errors))


def _write(
    paper: SupplierReturn,
    found: Sequence[Counted],
    quantities: Sequence[Decimal],
    holdings: dict[int, Held],
) -> None:
    suppliers = Place.objects.get(kind=PlaceKind.SUPPLIER)
    left, postings = dict(holdings), []
    for (line, _), quantity in zip(found, quantities, strict=True):
        held = left[line.part_id]
        value = value_taken(quantity, *held, minor_units(settings.CURRENCY))
        posting = Posting(line.part_id, paper.place_id, suppliers.pk, quantity, value)
        postings.append(posting)
        # Two lines may be packs of one part: the second leaves from what the first left.
        left[line.part_id] = Held(held.quantity - quantity, held.value - value)
    moves = moves_post(
        postings=postings,
        reason=MoveReason.RETURNED,
        posted=Posted(paper.returned_at, paper.returned_by, paper.order.number),
        held=holdings,
    )
    paper.save(force_insert=True)
    lines = [
        SupplierReturnLine(
            supplierreturn=paper, order_line=line, packs=counted.packs, quantity=quantity, move=move
        )
        for (line, counted), quantity, move in zip(found, quantities, moves, strict=True)
    ]
    rows_insert(Rows(SupplierReturnLine, [columns_of(line) for line in lines]))


def _reopen(order: PurchaseOrder) -> None:
    """Store that something is awaited again of an order, which is locked."""
    order.status = OrderStatus.PART_RECEIVED
    order.closed_at, order.closed_by, order.closing_reason = None, None, ""
    order.save(update_fields=["status", "closed_at", "closed_by", "closing_reason"])
