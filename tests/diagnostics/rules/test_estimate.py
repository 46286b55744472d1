from decimal import Decimal

import pytest

from diagnostics.rules.estimate import (
    Minutes,
    PartNeed,
    RemedyUse,
    SetUp,
    deepest_set_up,
    parts_wanted,
)


def minutes(low, likely, high):
    return Minutes(Decimal(low), Decimal(likely), Decimal(high))


def use(depth=1, times=1, needs=(), pins=()):
    set_up = SetUp(f"depth-{depth}", "", depth, Minutes())
    return RemedyUse(1, "", set_up, times, times, Minutes(), needs, 0, pins)


# Source: Heizer and Render, "Operations Management", project management chapter, the Milwaukee
# Paper example: optimistic, most likely and pessimistic weeks, and the expected time (from memory).
@pytest.mark.parametrize(
    ("low", "likely", "high", "expected"),
    [(1, 2, 3, 2), (2, 3, 4, 3), (2, 4, 6, 4), (1, 4, 7, 4), (1, 2, 9, 3), (3, 4, 11, 5)],
)
def test_the_expected_time_is_the_published_one(low, likely, high, expected):
    assert minutes(low, likely, high).expected == expected


def test_minutes_add_and_multiply_point_by_point():
    assert minutes(1, 2, 4).times(3) + minutes(1, 1, 1) == minutes(4, 7, 13)


def test_the_deepest_set_up_serves_all():
    assert deepest_set_up([use(1), use(3), use(2)]).depth == 3


def test_no_work_needs_no_set_up():
    assert deepest_set_up([]) is None


def test_parts_add_up_over_remedies_and_notes():
    uses = [
        use(times=4, needs=(PartNeed(7, Decimal("1.5")),)),
        use(times=2, needs=(PartNeed(7, Decimal(1)), PartNeed(8, Decimal(3)))),
        use(pins=(PartNeed(9, Decimal(2)),)),
    ]
    assert parts_wanted(uses) == {7: 8, 8: 6, 9: 2}
