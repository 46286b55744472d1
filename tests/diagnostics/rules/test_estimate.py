from decimal import Decimal

import pytest
from scipy.stats import norm

from diagnostics.rules.estimate import (
    Minutes,
    PartNeed,
    RemedyUse,
    SetUp,
    deepest_set_up,
    parts_wanted,
    time_span,
    work_minutes,
)


def minutes(low, likely, high):
    return Minutes(Decimal(low), Decimal(likely), Decimal(high))


NOTHING = Minutes()


def use(depth=1, times=1, needs=(), pins=(), each=NOTHING, set_up=NOTHING):
    set_up = SetUp(f"depth-{depth}", "", depth, set_up)
    return RemedyUse(1, "", set_up, times, times, each, needs, 0, pins)


# Source: Heizer and Render, "Operations Management", project management chapter, the Milwaukee
# Paper example: optimistic, most likely and pessimistic weeks, and the expected time (from memory).
@pytest.mark.parametrize(
    ("low", "likely", "high", "expected"),
    [(1, 2, 3, 2), (2, 3, 4, 3), (2, 4, 6, 4), (1, 4, 7, 4), (1, 2, 9, 3), (3, 4, 11, 5)],
)
def test_the_expected_time_is_the_published_one(low, likely, high, expected):
    assert minutes(low, likely, high).expected == expected


# The same example, as lecture slides give it: the critical path's five activities have variances
# 0.11, 0.11, 1.00, 1.78 and 0.11 in square weeks, in all 3.11, and 15 weeks are expected; the
# deviation is 1.76.
CRITICAL = [(1, 2, 3), (1, 2, 3), (1, 4, 7), (3, 4, 11), (1, 2, 3)]


def test_the_variances_of_the_pieces_add_up_to_the_published_one():
    pieces = [minutes(*each) for each in CRITICAL]
    assert [round(float(piece.variance), 2) for piece in pieces] == [0.11, 0.11, 1.00, 1.78, 0.11]
    span = time_span(pieces)
    assert span.expected == 15
    assert round(float(span.variance), 2) == 3.11
    assert round(float(span.variance.sqrt()), 2) == 1.76


def test_four_jobs_in_five_lie_in_the_range():
    span = time_span([minutes(*each) for each in CRITICAL])
    total = norm(15, (112 / 36) ** 0.5)
    assert (float(span.low), float(span.high)) == pytest.approx(
        (total.ppf(0.1), total.ppf(0.9)), abs=1e-4
    )


def test_the_range_never_leaves_what_the_outer_points_allow():
    # Sure to take ten minutes or a little more: the normal's lower end would lie below ten.
    span = time_span([minutes(10, 10, 16)])
    assert (span.expected, span.low) == (11, 10)
    assert span.high < 16


def test_no_work_takes_no_time():
    span = time_span([])
    assert (span.expected, span.low, span.high) == (0, 0, 0)


def test_the_notes_of_a_remedy_run_alike_and_remedies_do_not():
    twelve = minutes(3, 4, 5).times(12)
    # (60 - 36) / 6 squared; two such remedies have twice that, not four times. By hand.
    assert time_span([twelve]).variance == 16
    assert time_span([twelve, twelve]).variance == 32


def test_the_deepest_set_up_is_in_the_time_once():
    shallow = use(1, 2, each=minutes(1, 2, 3), set_up=minutes(5, 5, 5))
    deep = use(3, 1, each=minutes(4, 4, 4), set_up=minutes(15, 20, 25))
    pieces = work_minutes([shallow, deep])
    assert pieces == [minutes(15, 20, 25), minutes(2, 4, 6), minutes(4, 4, 4)]
    assert work_minutes([]) == []


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
