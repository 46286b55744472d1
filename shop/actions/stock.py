"""Every way that stock moves. All of them lock the parts' holdings first, in key order."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any, NamedTuple

from django.conf import settings
from django.db import connection, transaction

from shop.actions.bulk import Rows, rows_insert
from shop.errors import FieldError, Refused
from shop.models import (
    OWN_KINDS,
    CountSheet,
    CountStatus,
    Move,
    MoveReason,
    Part,
    Place,
    PlaceKind,
    User,
)
from shop.rules.money import minor_units, rounded
from shop.rules.quantities import plain
from shop.rules.valuation import value_taken

ZERO = Decimal(0)


@dataclass(frozen=True)
class Posting:
    """One move to post: `value` is given for what comes from outside, else found by average."""

    part_id: int
    from_place_id: int
    to_place_id: int
    quantity: Decimal
    value: Decimal | None = None


@dataclass(frozen=True)
class ReceivedLine:
    """Goods received: `unit_cost` is the cost of one stock unit in the shop's currency."""

    part: Part
    quantity: Decimal
    unit_cost: Decimal


@dataclass(frozen=True)
class Posted:
    """When stock moved, by whom, and under which paper."""

    moved_at: datetime
    moved_by: User | None
    reference: str = ""


class Held(NamedTuple):
    """What the shop holds of a part over all shelves, vans and bags, and its value at cost."""

    quantity: Decimal
    value: Decimal


def holdings_lock(part_ids: Iterable[int]) -> dict[int, Held]:
    """Lock the holdings of parts until the transaction ends and return them by part."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT part_id, quantity, value FROM shop_holding WHERE part_id = ANY (%s)"
            " ORDER BY part_id FOR UPDATE",
            [list(part_ids)],
        )
        return {part_id: Held(*amounts) for part_id, *amounts in cursor.fetchall()}


def moves_post(
    *,
    postings: list[Posting],
    reason: MoveReason,
    posted: Posted,
    held: Mapping[int, Held] | None = None,
) -> list[Move]:
    """Post moves, as a step of a larger action, and return them.

    `held` are the parts' holdings when the caller has locked them.

    Raises:
        IntegrityError: a place would hold less than nothing (`shop_level_not_negative`), or
            another of the ledger's rules would break.
    """
    holdings = held or holdings_lock(posting.part_id for posting in postings)
    rows = move_rows(postings, reason, posted, holdings)
    (keys,) = rows_insert(Rows(Move, rows))
    return [Move(pk=key, **row) for key, row in zip(keys, rows, strict=True)]


def move_rows(
    postings: Iterable[Posting], reason: MoveReason, posted: Posted, held: Mapping[int, Held]
) -> list[dict[str, Any]]:
    """Return the rows that post `postings`; `held` are the parts' holdings, locked already."""
    decimals = minor_units(settings.CURRENCY)
    return [
        {
            "part_id": posting.part_id,
            "from_place_id": posting.from_place_id,
            "to_place_id": posting.to_place_id,
            "quantity": posting.quantity,
            "value": _value(posting, held[posting.part_id], decimals),
            "reason": reason,
            "reference": posted.reference,
            "moved_at": posted.moved_at,
            "moved_by_id": posted.moved_by and posted.moved_by.pk,
        }
        for posting in postings
    ]


def _value(posting: Posting, holding: Held, decimals: int) -> Decimal:
    if posting.value is not None:
        return posting.value
    return value_taken(posting.quantity, holding.quantity, holding.value, decimals)


@transaction.atomic
def goods_receive(*, lines: list[ReceivedLine], place: Place, posted: Posted) -> list[Move]:
    """Put goods from the suppliers into `place` at what they cost and return the moves."""
    refuse_unless_own(place, "/place")
    suppliers = Place.objects.get(kind=PlaceKind.SUPPLIER)
    decimals = minor_units(settings.CURRENCY)
    postings = [
        Posting(
            part_id=line.part.pk,
            from_place_id=suppliers.pk,
            to_place_id=place.pk,
            quantity=line.quantity,
            value=rounded(line.quantity * line.unit_cost, decimals),
        )
        for line in lines
    ]
    return moves_post(postings=postings, reason=MoveReason.RECEIVED, posted=posted)


@transaction.atomic
def stock_transfer(
    *, quantities: Mapping[int, Decimal], from_place: Place, to_place: Place, posted: Posted
) -> list[Move]:
    """Move quantities by part between shelves and vans and return the moves."""
    for place, pointer in ((from_place, "/from_place"), (to_place, "/to_place")):
        refuse_unless_own(place, pointer)
    return _take(quantities, from_place, to_place, MoveReason.TRANSFERRED, posted)


@transaction.atomic
def stock_scrap(
    *, quantities: Mapping[int, Decimal], from_place: Place, posted: Posted
) -> list[Move]:
    """Write quantities by part off from a shelf or van and return the moves."""
    refuse_unless_own(from_place, "/from_place")
    scrapped = Place.objects.get(kind=PlaceKind.SCRAPPED)
    return _take(quantities, from_place, scrapped, MoveReason.SCRAPPED, posted)


@transaction.atomic
def stock_return(
    *, quantities: Mapping[int, Decimal], from_place: Place, posted: Posted
) -> list[Move]:
    """Send quantities by part back that came without an order here, and return the moves."""
    refuse_unless_own(from_place, "/from_place")
    suppliers = Place.objects.get(kind=PlaceKind.SUPPLIER)
    return _take(quantities, from_place, suppliers, MoveReason.RETURNED, posted)


def _take(
    quantities: Mapping[int, Decimal],
    from_place: Place,
    to_place: Place,
    reason: MoveReason,
    posted: Posted,
) -> list[Move]:
    """Move quantities by part, or refuse naming every line of which there is too little."""
    holdings = holdings_lock(quantities)
    levels = levels_at(from_place, quantities)
    short = tuple(
        FieldError(
            f"/lines/{index}/quantity",
            "stock-short",
            f"{from_place.name} holds {plain(levels.get(part_id, ZERO))}, not {plain(quantity)}.",
        )
        for index, (part_id, quantity) in enumerate(quantities.items())
        if levels.get(part_id, ZERO) < quantity
    )
    if short:
        raise Refused("stock-short", f"{from_place.name} holds less than that.", short)
    postings = [
        Posting(part_id, from_place.pk, to_place.pk, quantity)
        for part_id, quantity in quantities.items()
    ]
    return moves_post(postings=postings, reason=reason, posted=posted, held=holdings)


def refuse_unless_own(place: Place, pointer: str) -> None:
    """Refuse a job bag or an outside place, which have actions of their own."""
    if place.kind not in OWN_KINDS:
        error = FieldError(pointer, "not-shelf-or-van", f"{place.name} is not a shelf or a van.")
        raise Refused("not-shelf-or-van", "Name a shelf or a van.", (error,))


@transaction.atomic
def stock_count(*, counted: Mapping[int, Decimal], place: Place, posted: Posted) -> list[Move]:
    """Make levels at `place` what was counted, by part, and return the correcting moves.

    Raises:
        Refused: `not-shelf-or-van` or `place-being-counted`.
    """
    refuse_unless_own(place, "/place")
    place_lock(place)
    holdings = holdings_lock(counted)
    levels = levels_at(place, counted)
    differences = {
        part_id: quantity - levels.get(part_id, ZERO) for part_id, quantity in counted.items()
    }
    return differences_post(differences=differences, place=place, posted=posted, held=holdings)


def place_lock(place: Place) -> None:
    """Lock a place against other counts until the transaction ends.

    Raises:
        Refused: `place-being-counted`, there is an open sheet, whose differences would be posted
            a second time.
    """
    # Not against moves, which only rest on its key.
    Place.objects.select_for_update(no_key=True).get(pk=place.pk)
    sheet = CountSheet.objects.filter(place=place, status=CountStatus.OPEN).first()
    if sheet:
        raise Refused(
            "place-being-counted",
            f"{place.name} is being counted on {sheet}; settle or drop that first.",
        )


def differences_post(
    *, differences: Mapping[int, Decimal], place: Place, posted: Posted, held: Mapping[int, Held]
) -> list[Move]:
    """Post what a count found more or less of, by part, as a step of a larger action.

    What is found beyond comes in at the part's average cost, or at its expected cost when the shop
    holds none. `held` are the parts' holdings, locked already.
    """
    costs = dict(Part.objects.filter(pk__in=differences).values_list("pk", "cost"))
    outside = Place.objects.get(kind=PlaceKind.COUNT_DIFFERENCE)
    postings = []
    for part_id, difference in differences.items():
        if difference > 0:
            value = _found_value(difference, held[part_id], costs[part_id])
            postings.append(Posting(part_id, outside.pk, place.pk, difference, value))
        elif difference < 0:
            postings.append(Posting(part_id, place.pk, outside.pk, -difference))
    return moves_post(postings=postings, reason=MoveReason.COUNTED, posted=posted, held=held)


def _found_value(quantity: Decimal, holding: Held, cost: Decimal) -> Decimal:
    unit_cost = holding.value / holding.quantity if holding.quantity else cost
    return rounded(quantity * unit_cost, minor_units(settings.CURRENCY))


def levels_at(place: Place, part_ids: Iterable[int]) -> dict[int, Decimal]:
    """Return how much of each part is at `place`; lock the holdings first to rely on it."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT part_id, quantity FROM shop_level WHERE place_id = %s AND part_id = ANY (%s)",
            [place.pk, list(part_ids)],
        )
        return dict(cursor.fetchall())
