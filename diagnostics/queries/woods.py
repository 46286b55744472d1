"""How far a piece of wood moves in the room that it is in."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from diagnostics.rules.room import RoomDay, RoomVerdict
from diagnostics.rules.wood import Movement, movement_across_grain
from shop.models import WoodSpecies


@dataclass(frozen=True)
class WoodChange:
    """What a width does between two moisture contents, in either direction of the grain."""

    between: str
    from_percent: float
    to_percent: float
    radial: Movement
    tangential: Movement


@dataclass(frozen=True)
class WoodMovement:
    """What a width of a wood does in a room; between what, `changes` say."""

    species: WoodSpecies
    width_mm: float
    changes: list[WoodChange]


def wood_movement(
    verdict: RoomVerdict, days: Sequence[RoomDay], species: WoodSpecies, width_mm: Decimal
) -> WoodMovement:
    """Return what a width does from the shop's target to now, and over the days of a room."""
    width, changes = float(width_mm), []
    if evidence := verdict.evidence:
        target, now = evidence.target_moisture_percent, evidence.now.moisture_percent
        changes.append(_change("target and now", species, width, target, now))
    if days:
        moisture = [day.mean.moisture_percent for day in days]
        ends = min(moisture), max(moisture)
        changes.append(_change("dryest and dampest day", species, width, *ends))
    return WoodMovement(species, width, changes)


def _change(
    between: str, species: WoodSpecies, width_mm: float, before: float, after: float
) -> WoodChange:
    radial, tangential = (
        movement_across_grain(
            width_mm=width_mm,
            from_percent=before,
            to_percent=after,
            coefficient=float(coefficient),
            shrinkage_percent=float(shrinkage),
        )
        for coefficient, shrinkage in (
            (species.radial_coefficient, species.radial_shrinkage_percent),
            (species.tangential_coefficient, species.tangential_shrinkage_percent),
        )
    )
    return WoodChange(between, before, after, radial, tangential)
