from decimal import Decimal
from math import exp, factorial

import pytest

from shop.rules.reorder import PartStanding, reorder


def standing(on_hand=0, in_bags=0, short=0, used_in_year=0, lead_time_days=30, pack_quantity=10):
    return PartStanding(
        on_hand=Decimal(on_hand),
        in_bags=Decimal(in_bags),
        short=Decimal(short),
        used_in_year=Decimal(used_in_year),
        lead_time_days=lead_time_days,
        pack_quantity=Decimal(pack_quantity),
    )


def poisson_95(mean: float) -> int:
    """The least count that a Poisson variable stays within in at least 95 % of cases."""
    total, count = exp(-mean), 0
    while total < 0.95:
        count += 1
        total += exp(-mean) * mean**count / factorial(count)
    return count


@pytest.mark.parametrize("mean", [1, 2, 4, 9, 16, 25])
def test_the_reorder_point_is_the_exact_poisson_one_within_a_unit(mean):
    # One lead time of 73 days is a fifth of a year.
    found = reorder(standing(used_in_year=5 * mean, lead_time_days=73)).reorder_point
    assert abs(found - poisson_95(mean)) <= 1


def test_a_part_that_is_never_used_is_not_ordered():
    result = reorder(standing(on_hand=0))
    assert (result.reorder_point, result.suggested_packs) == (0, 0)


def test_a_shortage_is_ordered_in_whole_packs_even_without_a_history():
    assert reorder(standing(short=11)).suggested_packs == 2


def test_enough_on_hand_is_left_alone_and_one_less_is_ordered():
    # 120 a year is 10 a month; a lead time of 36.5 days uses 12, so 12 + 1.645 x 3.464 = 17.7.
    enough = reorder(standing(on_hand=18, used_in_year=120, lead_time_days=36))
    less = reorder(standing(on_hand=17, used_in_year=120, lead_time_days=36))
    assert (enough.reorder_point, enough.suggested_packs) == (18, 0)
    # 18 + 10 - 17 = 11 units.
    assert (less.usage_per_month, less.suggested_packs) == (10, 2)


def test_what_is_short_on_quotes_does_not_count_as_on_hand():
    assert reorder(standing(on_hand=20, short=5, used_in_year=120, lead_time_days=36)) != reorder(
        standing(on_hand=20, used_in_year=120, lead_time_days=36)
    )
