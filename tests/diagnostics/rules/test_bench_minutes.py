from decimal import Decimal

import pytest

from diagnostics.rules.bench_minutes import BenchMinutes, moved_minutes
from diagnostics.rules.estimate import Minutes


def minutes(low, likely, high):
    return Minutes(Decimal(low), Decimal(likely), Decimal(high))


# By hand: the catalogue's mean of 4 at a weight of 8 times, and the shop's times.
@pytest.mark.parametrize(
    ("times", "total", "likely"),
    [
        (8, 64, "6.0"),  # 8 minutes each: half way between 4 and 8
        (8, 32, "4.0"),  # what the catalogue says
        (1, 13, "5.0"),  # (32 + 13) / 9
        (92, 184, "2.2"),  # (32 + 184) / 100 = 2.16
    ],
)
def test_the_shops_own_work_moves_the_catalogues_minutes(times, total, likely):
    moved = moved_minutes(minutes(2, 4, 6), BenchMinutes(times, Decimal(total)), weight=8)
    assert moved.likely == Decimal(likely)
    # All three points move in the same proportion, each to a tenth of a minute.
    assert moved.low == pytest.approx(moved.likely / 2, abs=Decimal("0.05"))
    assert moved.high == pytest.approx(moved.likely * Decimal("1.5"), abs=Decimal("0.1"))


def test_without_own_work_the_catalogue_stands():
    assert moved_minutes(minutes(2, 4, 6), None) == minutes(2, 4, 6)


def test_work_that_takes_no_time_in_the_catalogue_stays_so():
    assert moved_minutes(Minutes(), BenchMinutes(5, Decimal(50))) == Minutes()


def test_moved_points_stay_in_their_order():
    moved = moved_minutes(minutes("0.5", "0.5", "0.6"), BenchMinutes(30, Decimal(2)))
    assert moved.low <= moved.likely <= moved.high


def test_the_shops_mean_is_that_of_one_time():
    assert BenchMinutes(4, Decimal(26)).mean == Decimal("6.5")
