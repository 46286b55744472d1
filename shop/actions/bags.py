"""Job bags: the parts set aside for one job, until they are fitted or go back.

These are steps of larger actions and run in their transaction.
"""

from collections.abc import Mapping
from decimal import Decimal

from shop.actions.bulk import rows_insert
from shop.actions.stock import Posted, Posting, holdings_lock, levels_at, moves_post
from shop.models import Level, Move, MoveReason, Place, PlaceKind


def bag_open(*, name: str) -> Place:
    """Return a new, empty job bag."""
    bag = Place(kind=PlaceKind.BAG, name=name)
    rows_insert([bag])
    return bag


def bag_parts(*bags: Place) -> list[int]:
    """Return the parts that one of `bags` holds something of."""
    held = Level.objects.filter(place__in=bags, quantity__gt=0)
    return list(held.values_list("part", flat=True))


def bag_fill(
    *, bag: Place, from_place: Place, wanted: Mapping[int, Decimal], posted: Posted
) -> dict[int, Decimal]:
    """Move what is wanted by part into `bag`, as far as `from_place` has it.

    Returns what was taken by part; a part of which there is nothing is taken zero times.
    """
    holdings = holdings_lock(wanted)
    levels = levels_at(from_place, wanted)
    taken = {
        part_id: min(quantity, levels.get(part_id, Decimal(0)))
        for part_id, quantity in wanted.items()
    }
    postings = [
        Posting(part_id, from_place.pk, bag.pk, quantity)
        for part_id, quantity in taken.items()
        if quantity
    ]
    moves_post(postings=postings, reason=MoveReason.BAGGED, posted=posted, held=holdings)
    return taken


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
    left = {
        part_id: quantity - fitted.get(part_id, Decimal(0)) for part_id, quantity in levels.items()
    }
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
