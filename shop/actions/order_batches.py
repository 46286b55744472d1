"""Draft orders for all that is wanted, one for each supplier."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from django.db import transaction

from shop.actions.bulk import Rows, columns_of, rows_insert
from shop.actions.order_lines import OrderLineDraft, lines_priced, packs_on_sale
from shop.actions.orders import Drafted, order_new
from shop.actions.stock import holdings_lock
from shop.models import OrderStatus, Part, PurchaseOrder, PurchaseOrderLine, Supplier


class Wanted(NamedTuple):
    """Packs of a part that are wanted, and of whom, if somebody is known who sells it."""

    supplier: Supplier | None
    line: OrderLineDraft


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


@transaction.atomic
def orders_draft_for(*, wanted: Sequence[Wanted], drafted: Drafted) -> Batch:
    """Return new drafts for what is wanted, one for each supplier, by their names.

    A part that stands on a draft already is left out, so that asking twice orders once; so is one
    that nobody is known to sell.

    Raises:
        Refused: `not-offered` or `too-few-packs`, when offers have changed meanwhile.
    """
    parts = [want.line.part.pk for want in wanted]
    # The lock of the parts keeps two who ask at once from both ordering.
    holdings_lock(parts)
    left_out = _left_out(wanted)
    out = {each.part.pk for each in left_out}
    lines: dict[Supplier, list[OrderLineDraft]] = {}
    for supplier, line in wanted:
        if supplier and line.part.pk not in out:
            lines.setdefault(supplier, []).append(line)
    suppliers = sorted(lines, key=lambda supplier: (supplier.name, supplier.pk))
    orders = [order_new(supplier, drafted) for supplier in suppliers]
    on_sale = packs_on_sale(None, parts)
    written = [
        lines_priced(order=order, drafts=lines[order.supplier], on_sale=on_sale) for order in orders
    ]
    _insert(orders, written)
    return Batch(orders, left_out)


def _left_out(wanted: Sequence[Wanted]) -> list[LeftOut]:
    drafts = PurchaseOrderLine.objects.filter(
        part__in=[want.line.part.pk for want in wanted], order__status=OrderStatus.DRAFT
    )
    on_draft = dict(drafts.values_list("part", "order"))
    found = []
    for supplier, line in wanted:
        if line.part.pk in on_draft:
            detail = f"It stands on the draft with id {on_draft[line.part.pk]}."
            found.append(LeftOut(line.part, "already-drafted", detail))
        elif supplier is None:
            detail = "It has no supplier, and nobody offers it."
            found.append(LeftOut(line.part, "no-supplier", detail))
    return found


def _insert(orders: Sequence[PurchaseOrder], lines: Sequence[list[PurchaseOrderLine]]) -> None:
    (keys,) = rows_insert(Rows(PurchaseOrder, [columns_of(order) for order in orders]))
    rows = []
    for order, key, own in zip(orders, keys, lines, strict=True):
        order.pk = key
        rows += [columns_of(line) | {"order_id": key} for line in own]
    rows_insert(Rows(PurchaseOrderLine, rows))
