"""The lines of a purchase order: which pack, at which price. Steps of drafting an order."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from shop.errors import FieldError, Refused
from shop.models import Part, PurchaseOrder, PurchaseOrderLine, Supplier, SupplierOffer
from shop.models.offers import PackContents
from shop.rules.order_quantity import PriceFrom, price_at
from shop.rules.purchasing import least_packs, line_amount
from shop.rules.quantities import plain
from shop.rules.units import UNITS, Pack, StockUnit, pack_text


@dataclass(frozen=True)
class OrderLineDraft:
    """Packs of a part to order: by the offer with this key when the supplier has several.

    A price that is given counts in place of the offer's.
    """

    part: Part
    packs: int
    offer_id: int | None = None
    pack_price: Decimal | None = None


@dataclass(frozen=True)
class PackOnSale:
    """A pack of a part as a supplier sells it, and what one costs by how many are bought."""

    offer_id: int | None
    supplier_part_number: str
    text: str
    contents: Fraction
    prices: tuple[PriceFrom, ...]


def packs_on_sale(
    supplier: Supplier | None, part_ids: Iterable[int]
) -> dict[tuple[int, int], list[PackOnSale]]:
    """Return what a supplier, or every one, offers of parts, by supplier and part."""
    found: dict[tuple[int, int], list[PackOnSale]] = {}
    offers = SupplierOffer.objects.filter(part__in=part_ids)
    if supplier:
        offers = offers.filter(supplier=supplier)
    for offer in offers.order_by("id").prefetch_related("price_breaks"):
        found.setdefault((offer.supplier_id, offer.part_id), []).append(_offered(offer))
    return found


def _offered(offer: SupplierOffer) -> PackOnSale:
    return PackOnSale(
        offer_id=offer.pk,
        supplier_part_number=offer.supplier_part_number,
        text=pack_text(pack_of(offer)),
        contents=contents_of(offer),
        prices=tuple(PriceFrom(each.from_packs, each.price) for each in offer.price_breaks.all()),
    )


def usual_pack(part: Part) -> PackOnSale:
    """Return the pack that stands with the part itself, at the cost that the shop expects."""
    return PackOnSale(
        offer_id=None,
        supplier_part_number=part.supplier_part_number,
        text=f"{plain(part.pack_quantity)} {UNITS[part.unit].label}",
        contents=Fraction(part.pack_quantity),
        prices=(PriceFrom(1, part.pack_quantity * part.cost),),
    )


def pack_of(offer: SupplierOffer) -> Pack:
    """Return the pack that an offer is of."""
    return Pack(
        offer.pack_amount,
        offer.pack_unit,
        offer.width_mm,
        offer.pieces_per_weight,
        offer.weight_unit,
    )


def stock_unit_of(part: Part) -> StockUnit:
    """Return what a part is counted in."""
    return StockUnit(part.unit, part.strip_width_mm)


def contents_of(row: PackContents) -> Fraction:
    """Return how many stock units a pack holds."""
    return Fraction(int(row.contents_numerator), int(row.contents_denominator))


def lines_priced(
    *,
    order: PurchaseOrder,
    drafts: Sequence[OrderLineDraft],
    on_sale: Mapping[tuple[int, int], list[PackOnSale]],
) -> list[PurchaseOrderLine]:
    """Return the lines of an order that is not stored yet or has none, by what is on sale.

    Raises:
        Refused: `not-offered`, `offer-ambiguous` or `too-few-packs`, naming every such line.
    """
    lines, errors = [], []
    for index, draft in enumerate(drafts):
        try:
            packs = on_sale.get((order.supplier_id, draft.part.pk), [])
            pack = _chosen(draft, order.supplier, packs)
            lines.append(_line(order, draft, pack, position=index + 1))
        except Refused as refusal:
            errors.append(FieldError(f"/lines/{index}", refusal.code, refusal.detail))
    if errors:
        raise Refused(errors[0].code, errors[0].detail, tuple(errors))
    return lines


def _chosen(draft: OrderLineDraft, supplier: Supplier, packs: list[PackOnSale]) -> PackOnSale:
    if draft.offer_id is not None:
        packs = [pack for pack in packs if pack.offer_id == draft.offer_id]
    elif not packs and draft.part.supplier_id == supplier.pk:
        packs = [usual_pack(draft.part)]
    if not packs:
        raise Refused("not-offered", f"{supplier.name} has no such offer of {draft.part.code}.")
    if len(packs) > 1:
        offers = ", ".join(f"{pack.offer_id} ({pack.text})" for pack in packs)
        raise Refused(
            "offer-ambiguous", f"{draft.part.code} comes in several packs; name one: {offers}."
        )
    return packs[0]


def _line(
    order: PurchaseOrder, draft: OrderLineDraft, pack: PackOnSale, position: int
) -> PurchaseOrderLine:
    price = draft.pack_price
    if price is None:
        least = least_packs(pack.prices)
        if draft.packs < least:
            raise Refused("too-few-packs", f"{draft.part.code} is sold from {least} packs on.")
        price = price_at(pack.prices, draft.packs)
    return PurchaseOrderLine(
        order=order,
        position=position,
        part=draft.part,
        supplier_part_number=pack.supplier_part_number,
        description=draft.part.name,
        pack_text=pack.text,
        packs=draft.packs,
        pack_price=price,
        net_amount=line_amount(draft.packs, price, order.minor_units),
        contents_numerator=pack.contents.numerator,
        contents_denominator=pack.contents.denominator,
    )
