import pytest

from diagnostics.rules.room import RoomState
from diagnostics.rules.room_first import Hindrance, freed_at_once, hindrance_of


# Common practice: meanwhile only debris, rails and single stuck notes. So few are single: estimate.
@pytest.mark.parametrize(
    ("stuck", "freed"),
    [
        ([], set()),
        ([60], {60}),
        ([60, 60, 61, 62], {60, 61, 62}),
        ([60, 61, 62, 63], set()),
        ([None], set()),
        ([None, 60], {60}),
    ],
)
def test_single_stuck_notes_are_freed_and_many_wait(stuck, freed):
    assert freed_at_once(stuck) == freed


ALL_IS_WELL = {"was_treated": False, "something_waits": True, "has_treatment": True}


# Common practice: the room comes first where it is out of range and can cure something.
@pytest.mark.parametrize(
    ("room", "changed", "hindrance"),
    [
        (RoomState.DAMP, {}, None),
        (RoomState.DRY, {}, None),
        (RoomState.SWUNG, {}, None),
        (RoomState.IN_RANGE, {}, Hindrance.ROOM_IN_RANGE),
        (RoomState.UNKNOWN, {}, Hindrance.ROOM_UNMEASURED),
        (RoomState.DAMP, {"was_treated": True}, Hindrance.TREATED_ALREADY),
        (RoomState.UNKNOWN, {"something_waits": False}, Hindrance.NOTHING_WAITS),
        (RoomState.DAMP, {"has_treatment": False}, Hindrance.NO_TREATMENT),
    ],
)
def test_what_hinders_treating_the_room_first(room, changed, hindrance):
    assert hindrance_of(room, **(ALL_IS_WELL | changed)) == hindrance
