"""What all rows share: when they happen, and the places that exist from the first migration."""

from datetime import UTC, date, datetime
from decimal import Decimal

from shop.models import Move, MoveReason, Part, Place, PlaceKind

NOW = datetime(2026, 3, 2, 9, 30, tzinfo=UTC)
TODAY = NOW.date()
# Later than any day on which the tests run, for what the real clock must not outrun.
FAR_DAY = date(2099, 12, 31)


def main_shelf() -> Place:
    return Place.objects.get(name="Main shelf")


def outside(kind: PlaceKind) -> Place:
    return Place.objects.get(kind=kind)


def stock(
    part: Part, quantity: Decimal | int, unit_cost: Decimal | int, place: Place | None = None
):
    """Receive `quantity` of `part` from the suppliers and return the move."""
    return Move.objects.create(
        part=part,
        from_place=outside(PlaceKind.SUPPLIER),
        to_place=place or main_shelf(),
        quantity=quantity,
        value=quantity * unit_cost,
        reason=MoveReason.RECEIVED,
        moved_at=NOW,
    )
