"""Loading a van for its coming visits."""

from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from billing.queries.packing import packing_list
from billing.queries.trips import Trip, trip_wants
from billing.rules.packing import PackingList
from shop.actions.stock import Posted, holdings_lock, stock_transfer
from shop.models import Move, User


@dataclass(frozen=True)
class Loaded:
    """The list that the van was loaded by, and what was moved."""

    packing: PackingList
    moves: list[Move]


@transaction.atomic
def van_load(*, trip: Trip, loaded_at: datetime, loaded_by: User) -> Loaded:
    """Move what the packing list wants from the shelf to the van, as far as the shelf has it.

    Job bags are carried as they are. What is short stays on the list; nothing is refused for it.
    """
    wants = trip_wants(trip)
    # From here on nobody moves these parts, so that the list is true of what is moved by it.
    holdings_lock(wants.part_ids)
    packing = packing_list(wants, now=loaded_at)
    moves = stock_transfer(
        quantities={part.part_id: part.to_load for part in packing.parts if part.to_load},
        from_place=trip.shelf,
        to_place=trip.van,
        posted=Posted(loaded_at, loaded_by, f"Loading for {trip.starts_on}"),
    )
    return Loaded(packing, moves)
