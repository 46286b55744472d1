"""What is stored, as rows of the sheets that the shop takes and gives."""

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from django.conf import settings
from django.db.models import QuerySet

from shop.models import CountSheetLine, CountStatus, Move, MoveReason, Part, SupplierOffer
from shop.queries.part_prices import with_prices
from shop.rules.money import rounded
from shop.rules.order_quantity import PriceFrom

Columns = Mapping[str, Any]

PART_COLUMNS = (
    *("code", "name", "category", "unit", "pack_quantity", "size_scheme", "size_label"),
    *("diameter_um", "thickness_um", "outer_diameter_um", "strip_width_mm", "cost"),
    *("supplier_part_number", "lead_time_days", "service_level_percent", "is_active"),
)
OFFER_COLUMNS = (
    *("supplier_part_number", "pack_amount", "pack_unit", "width_mm", "pieces_per_weight"),
    *("weight_unit", "lead_time_days"),
)


def part_columns(part: Part, price: Decimal) -> Columns:
    """Return a part as a row: its tax category by code and its supplier by name."""
    return {
        **{name: getattr(part, name) for name in PART_COLUMNS},
        "price": price,
        "tax_category": part.tax_category.code,
        "supplier": part.supplier and part.supplier.name,
        "currency": settings.CURRENCY,
    }


def priced_parts(day: date) -> QuerySet[Any]:
    """Return the parts, each with its `price_in_force` on a day, tax category and supplier."""
    return with_prices(Part.objects.select_related("tax_category", "supplier"), day)


def part_rows(day: date) -> list[Columns]:
    """Return every part, by code, at its price of a day."""
    return [part_columns(part, part.price_in_force) for part in priced_parts(day).order_by("code")]


def offer_columns(offer: SupplierOffer, prices: tuple[PriceFrom, ...]) -> Columns:
    """Return an offer as a row: its part by code and its supplier by name, with all its prices."""
    return {
        "supplier": offer.supplier.name,
        "part": offer.part.code,
        **{name: getattr(offer, name) for name in OFFER_COLUMNS},
        "currency": settings.CURRENCY,
        "price_breaks": prices,
    }


def prices_of(offer: SupplierOffer) -> tuple[PriceFrom, ...]:
    """Return what a pack costs, from how many packs on; the prices were read with the offer."""
    return tuple(PriceFrom(each.from_packs, each.price) for each in offer.price_breaks.all())


def offers_with_prices() -> QuerySet[SupplierOffer]:
    """Return the offers with supplier, part and prices."""
    rows = SupplierOffer.objects.select_related("supplier", "part")
    return rows.prefetch_related("price_breaks")


def offer_rows() -> list[Columns]:
    """Return every offer, by supplier, part and age."""
    offers = offers_with_prices().order_by("supplier__name", "part__code", "id")
    return [offer_columns(offer, prices_of(offer)) for offer in offers]


def opening_moves() -> QuerySet[Move]:
    """Return the moves that posted opening stock, by part and place."""
    moves = Move.objects.filter(reason=MoveReason.OPENING).select_related("part", "to_place")
    return moves.order_by("part__code", "to_place__name")


def opening_columns(move: Move) -> Columns:
    """Return opening stock as a row.

    Its unit cost of four places comes to the move's value again: where a unit cost of four places
    is too coarse to tell the value, the quantity is so small that the rounding is not seen in it.
    """
    return {
        "part": move.part.code,
        "place": move.to_place.name,
        "quantity": move.quantity,
        "unit_cost": rounded(move.value / move.quantity, 4),
        "currency": settings.CURRENCY,
    }


def opening_rows() -> list[Columns]:
    """Return all opening stock, by part and place."""
    return [opening_columns(move) for move in opening_moves()]


def count_entry_rows() -> list[Columns]:
    """Return the lines of the open count sheets, by place and part."""
    lines = CountSheetLine.objects.filter(sheet__status=CountStatus.OPEN)
    return [
        {
            "place": line.sheet.place.name,
            "part": line.part.code,
            "counted_quantity": line.counted_quantity,
        }
        for line in lines.select_related("sheet__place", "part").order_by(
            "sheet__place__name", "part__code"
        )
    ]
