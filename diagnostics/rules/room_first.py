"""Treating the room before anything is repaired: when that is a plan, and what can wait for it."""

from collections.abc import Iterable
from enum import StrEnum

from diagnostics.rules.formulas import Formula
from diagnostics.rules.room import RoomState

# So few notes that cannot be played are freed at once; more wait with the others (estimate).
MOST_FREED_AT_ONCE = 3
# So many readings in range in a row show that a room has settled (estimate).
SETTLED_READINGS = 2

PRACTICE = Formula(
    "room first when many notes stick in a room out of range; meanwhile debris, rails and single"
    " stuck notes only",
    "common practice; up to 3 single notes: estimate",
)


class Hindrance(StrEnum):
    """Why treating the room first is no plan for an examination."""

    TREATED_ALREADY = "treated-already"
    ROOM_UNMEASURED = "room-unmeasured"
    ROOM_IN_RANGE = "room-in-range"
    NOTHING_WAITS = "nothing-waits"
    NO_TREATMENT = "no-treatment"


SENTENCES = {
    Hindrance.TREATED_ALREADY: "The room was treated before this examination; repair what is left.",
    Hindrance.ROOM_UNMEASURED: "No reading of the week before tells of the room; measure it first.",
    Hindrance.ROOM_IN_RANGE: "The room is in range, so that treating it cures nothing.",
    Hindrance.NOTHING_WAITS: "Treating the room cures none of what was found.",
    Hindrance.NO_TREATMENT: "The catalogue has no remedy that treats the room of such an action.",
}
TELLS_NOTHING = {
    RoomState.UNKNOWN: Hindrance.ROOM_UNMEASURED,
    RoomState.IN_RANGE: Hindrance.ROOM_IN_RANGE,
}


def hindrance_of(
    room: RoomState, *, was_treated: bool, something_waits: bool, has_treatment: bool
) -> Hindrance | None:
    """Return why the room is not treated first, None when it can be."""
    if was_treated:
        return Hindrance.TREATED_ALREADY
    if not something_waits:
        return Hindrance.NOTHING_WAITS
    if room in TELLS_NOTHING:
        return TELLS_NOTHING[room]
    return None if has_treatment else Hindrance.NO_TREATMENT


def freed_at_once(stuck: Iterable[int | None]) -> frozenset[int]:
    """Return which of the notes that cannot be played are freed rather than left to the room.

    They are when they are so few that they are single notes; None stands for the whole instrument,
    which always waits.
    """
    notes = frozenset(note for note in stuck if note is not None)
    return notes if len(notes) <= MOST_FREED_AT_ONCE else frozenset()
