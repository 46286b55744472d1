"""Job bags: the parts set aside for one job, until they are fitted or go back.

These are steps of larger actions and run in their transaction.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from shop.actions.bulk import Rows, columns_of
from shop.actions.stock import Posted, Posting, holdings_lock, levels_at, move_rows, moves_post
from shop.models import Level, Move, MoveReason, Place, PlaceKind

# The bag has no key before it is stored.
NOT_STORED = 0
ZERO = Decimal(0)


def bag_parts(*bags: Place) -> list[int]:
    """Return the parts that one of `bags` holds something of."""
    held = Level.objects.filter(place__in=bags, quantity__gt=0)
    return list(held.values_list("part", flat=True))


@dataclass(frozen=True)
class Packed:
    """A job bag and what moves into and out of it, not stored yet; `bag` is empty if it exists.

    `taken` is how much it then has of each part that is wanted, zero where there is nothing.
    """

    taken: dict[int, Decimal]
    bag: Rows
    moves: Rows


def bag_pack(
    *, name: str, from_place: Place, wanted: Mapping[int, Decimal], posted: Posted
) -> Packed:
    """Return a new bag with what is wanted by part, as far as `from_place` has it.

    The parts' holdings stay locked; the caller stores the bag and its moves along with rows of its
    own.
    """
    holdings = holdings_lock(wanted)
    levels = levels_at(from_place, wanted)
    taken = {
        part_id: min(quantity, levels.get(part_id, ZERO)) for part_id, quantity in wanted.items()
    }
    postings = [
        Posting(part_id, from_place.pk, NOT_STORED, quantity)
        for part_id, quantity in taken.items()
        if quantity
    ]
    bag = Rows(Place, [columns_of(Place(kind=PlaceKind.BAG, name=name))])
    moves = move_rows(postings, MoveReason.BAGGED, posted, holdings)
    return Packed(taken, bag, Rows(Move, moves, {"to_place_id": bag}))


def bag_repack(
    *, bag: Place, from_place: Place, back_to: Place, wanted: Mapping[int, Decimal], posted: Posted
) -> Packed:
    """Return what gives `bag` what is wanted by part, as far as it and `from_place` have it.

    Only the difference moves; what is wanted no more goes to `back_to`. The parts' holdings stay
    locked, and nobody else may change the bag meanwhile.
    """
    holdings = holdings_lock({*wanted, *bag_parts(bag)})
    in_bag, there = levels_at(bag, holdings), levels_at(from_place, wanted)
    taken = {
        part_id: min(quantity, in_bag.get(part_id, ZERO) + there.get(part_id, ZERO))
        for part_id, quantity in wanted.items()
    }
    more = {part_id: taken.get(part_id, ZERO) - in_bag.get(part_id, ZERO) for part_id in holdings}
    into = [
        Posting(part_id, from_place.pk, bag.pk, quantity)
        for part_id, quantity in more.items()
        if quantity > 0
    ]
    out = [
        Posting(part_id, bag.pk, back_to.pk, -quantity)
        for part_id, quantity in more.items()
        if quantity < 0
    ]
    moves = move_rows(into, MoveReason.BAGGED, posted, holdings)
    moves += move_rows(out, MoveReason.UNBAGGED, posted, holdings)
    return Packed(taken, Rows(Place, []), Rows(Move, moves))


def bag_empty(
    *, bag: Place, fitted: Mapping[int, Decimal], to_place: Place, posted: Posted
) -> list[Move]:
    """Move what was fitted to used and the rest to `to_place`, close the bag, return the moves."""
    holdings = holdings_lock([*bag_parts(bag), *fitted])
    levels = levels_at(bag, holdings)
    used = Place.objects.get(kind=PlaceKind.USED)
    moves = moves_post(
        postings=[
            Posting(part_id, bag.pk, used.pk, quantity) for part_id, quantity in fitted.items()
        ],
        reason=MoveReason.FITTED,
        posted=posted,
        held=holdings,
    )
    left = {part_id: quantity - fitted.get(part_id, ZERO) for part_id, quantity in levels.items()}
    moves += moves_post(
        postings=[
            Posting(part_id, bag.pk, to_place.pk, quantity)
            for part_id, quantity in left.items()
            if quantity > 0
        ],
        reason=MoveReason.UNBAGGED,
        posted=posted,
    )
    bag.is_active = False
    bag.save(update_fields=["is_active"])
    return moves
