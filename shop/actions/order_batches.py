"""Draft orders for all that is wanted, one for each supplier."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import NamedTuple

from django.db import transaction

from shop.actions.bulk import Rows, columns_of, rows_insert
from shop.actions.order_lines import (
    OrderLineDraft,
    PackOnSale,
    line_priced,
    packs_on_sale,
    usual_pack,
)
from shop.actions.orders import Drafted, order_new
from shop.actions.stock import holdings_lock
from shop.models import OrderStatus, Part, PurchaseOrder, PurchaseOrderLine, Supplier
from shop.rules.purchasing import Choice, cheapest


class Wanted(NamedTuple):
    """How much of a part is wanted, in its unit."""

    part: Part
    quantity: Decimal


@dataclass(frozen=True)
class LeftOut:
    """A part that no order was drafted for: `code` and `detail` say why."""

    part: Part
    code: str
    detail: str


@dataclass(frozen=True)
class Batch:
    """The drafts that were made, and what was left out of them."""

    orders: list[PurchaseOrder]
    left_out: list[LeftOut]


@dataclass(frozen=True)
class _Bought:
    part: Part
    supplier_id: int
    pack: PackOnSale
    choice: Choice


@transaction.atomic
def orders_draft_for(*, wanted: Sequence[Wanted], drafted: Drafted) -> Batch:
    """Return new drafts that cover what is wanted, each part from its supplier, by their names.

    A part without a supplier of its own comes from whoever sells that much of it cheapest. Of
    several packs the cheapest that cover the quantity are taken. A part that stands on a draft
    already is left out, so that asking twice orders once.
    """
    # The lock of the parts keeps two who ask at once from both ordering.
    holdings_lock(want.part.pk for want in wanted)
    bought, left_out = _choose(wanted)
    suppliers = Supplier.objects.filter(pk__in={each.supplier_id for each in bought})
    orders = [order_new(supplier, drafted) for supplier in suppliers.order_by("name", "pk")]
    (keys,) = rows_insert(Rows(PurchaseOrder, [columns_of(order) for order in orders]))
    lines = []
    for order, key in zip(orders, keys, strict=True):
        order.pk = key
        own = [each for each in bought if each.supplier_id == order.supplier_id]
        lines += [columns_of(line) | {"order_id": key} for line in _lines(order, own)]
    rows_insert(Rows(PurchaseOrderLine, lines))
    return Batch(orders, left_out)


def _choose(wanted: Sequence[Wanted]) -> tuple[list[_Bought], list[LeftOut]]:
    parts = [want.part.pk for want in wanted]
    drafts = PurchaseOrderLine.objects.filter(part__in=parts, order__status=OrderStatus.DRAFT)
    on_draft = dict(drafts.values_list("part", "order"))
    on_sale = packs_on_sale(None, parts)
    bought, left_out = [], []
    for part, quantity in wanted:
        if part.pk in on_draft:
            detail = f"It stands on the draft with id {on_draft[part.pk]}."
            left_out.append(LeftOut(part, "already-drafted", detail))
            continue
        choice = _cheapest(part, quantity, on_sale)
        if choice:
            bought.append(choice)
        else:
            detail = "It has no supplier, and nobody offers it."
            left_out.append(LeftOut(part, "no-supplier", detail))
    return bought, left_out


def _cheapest(
    part: Part, quantity: Decimal, on_sale: dict[tuple[int, int], list[PackOnSale]]
) -> _Bought | None:
    sold = [
        (supplier_id, pack)
        for (supplier_id, part_id), packs in on_sale.items()
        if part_id == part.pk and part.supplier_id in (supplier_id, None)
        for pack in packs
    ]
    if not sold and part.supplier_id:
        sold = [(part.supplier_id, usual_pack(part))]
    choice = cheapest(quantity, [(pack.contents, pack.prices) for _, pack in sold])
    return _Bought(part, *sold[choice.index], choice) if choice else None


def _lines(order: PurchaseOrder, bought: Sequence[_Bought]) -> list[PurchaseOrderLine]:
    return [
        line_priced(
            order=order,
            draft=OrderLineDraft(each.part, each.choice.packs),
            pack=each.pack,
            position=position,
        )
        for position, each in enumerate(bought, start=1)
    ]
