"""Suppliers' lists from a sheet: what they sell, in which packs, at which prices."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from django.db import connection, transaction

from shop.actions.order_lines import contents_of, pack_of, stock_unit_of
from shop.actions.sheets import Plan, PlannedRow, RowOutcome, SentRow, Sheet, plan_carry_out
from shop.models import Part, PriceBreak, Supplier, SupplierOffer
from shop.queries.sheets import OFFER_COLUMNS, offer_columns, offers_with_prices, prices_of
from shop.rules.order_quantity import PriceFrom
from shop.rules.units import NotConvertible, pack_contents

# Whose offer, of which part, and how many stock units a pack holds.
Key = tuple[int, int, Fraction]


@dataclass(frozen=True)
class _Offered:
    """An offer, and its prices when they are to be written."""

    offer: SupplierOffer
    prices: tuple[PriceFrom, ...] | None


@transaction.atomic
def offer_sheet_apply(*, sheet: Sheet) -> list[RowOutcome]:
    """Make and change offers as a sheet says and return what became of each row.

    An offer is known by its supplier, its part and what its pack holds. Prices that are sent
    replace those that there are. The number of statements does not depend on the number of rows,
    unless the database refuses some.

    Raises:
        InvalidInput: rows are not of the right shape; the errors name all that is wrong.
        Refused: `sheet-refused`, likewise.
    """
    plan: Plan[_Offered] = Plan(sheet)
    reader = _Reader(plan)
    for row in sheet.rows:
        reader.read(row)
    plan.refuse_broken(SupplierOffer, lambda row: row.record.offer)
    return plan_carry_out(plan=plan, write=_write)


class _Reader:
    """Sets rows beside the offers that are stored, each table read once."""

    def __init__(self, plan: Plan[_Offered]) -> None:
        self.plan = plan
        sheet = plan.sheet
        self.suppliers = Supplier.objects.in_bulk(sheet.sent("supplier"), field_name="name")
        self.parts = Part.objects.in_bulk(sheet.sent("part"), field_name="code")
        found = (self.suppliers.values(), self.parts.values())
        self.offers = {_key(offer): offer for offer in _offers_locked(*found)}
        self.read_first: dict[Key, int] = {}

    def read(self, row: SentRow) -> None:
        """Plan a row, or note why it is refused."""
        sent = self._offer(row)
        if sent is None:
            return
        key = _key(sent)
        earlier = self.read_first.setdefault(key, row.index)
        if earlier != row.index:
            sentence = f"Row {earlier + 1} of the sheet is an offer of this pack."
            self.plan.refuse(row.index, "part", "row-repeated", sentence)
            return
        stored = self.offers.get(key)
        if stored is None and self.plan.refuse_missing(row, ["price_breaks"]):
            return
        self.plan.rows.append(_planned(row, sent, stored))

    def _offer(self, row: SentRow) -> SupplierOffer | None:
        """Return the offer that a row makes, None when it cannot be one."""
        supplier = self.plan.found(row, "supplier", self.suppliers)
        part = self.plan.found(row, "part", self.parts)
        if supplier is None or part is None:
            return None
        offer = SupplierOffer(supplier=supplier, part=part, **_columns(row))
        try:
            contents = pack_contents(pack_of(offer), stock_unit_of(part))
        except NotConvertible as error:
            self.plan.refuse(row.index, error.member, "pack-not-convertible", str(error))
            return None
        offer.contents_numerator, offer.contents_denominator = contents.as_integer_ratio()
        return offer


def _planned(
    row: SentRow, sent: SupplierOffer, stored: SupplierOffer | None
) -> PlannedRow[_Offered]:
    prices: tuple[PriceFrom, ...] = row.values.get("price_breaks", ())
    if stored is None:
        return PlannedRow(row.index, None, offer_columns(sent, prices), _Offered(sent, prices))
    old = offer_columns(stored, prices_of(stored))
    for name, value in _columns(row).items():
        setattr(stored, name, value)
    new = offer_columns(stored, prices or old["price_breaks"])
    is_repriced = new["price_breaks"] != old["price_breaks"]
    return PlannedRow(row.index, old, new, _Offered(stored, prices if is_repriced else None))


def _columns(row: SentRow) -> dict[str, Any]:
    return {name: value for name, value in row.values.items() if name in OFFER_COLUMNS}


def _key(offer: SupplierOffer) -> Key:
    return offer.supplier_id, offer.part_id, contents_of(offer)


def _offers_locked(suppliers: Any, parts: Any) -> list[SupplierOffer]:
    offers = offers_with_prices().filter(supplier__in=suppliers, part__in=parts)
    return list(offers.select_for_update(of=("self",), no_key=True).order_by("pk"))


def _write(rows: Sequence[PlannedRow[_Offered]]) -> None:
    SupplierOffer.objects.bulk_create(row.record.offer for row in rows if row.old is None)
    SupplierOffer.objects.bulk_create(
        (row.record.offer for row in rows if row.old is not None),
        update_conflicts=True,
        unique_fields=["supplier", "part", "contents_numerator", "contents_denominator"],
        update_fields=OFFER_COLUMNS,
    )
    repriced = [row.record for row in rows if row.record.prices is not None]
    with connection.cursor() as cursor:
        offers = [each.offer.pk for each in repriced]
        cursor.execute("DELETE FROM shop_pricebreak WHERE offer_id = ANY (%s)", [offers])
    PriceBreak.objects.bulk_create(
        PriceBreak(offer=each.offer, from_packs=price.from_packs, price=price.price)
        for each in repriced
        for price in each.prices or ()
    )
