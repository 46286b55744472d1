from decimal import Decimal

import pytest

from shop.rules.minimum_order import Orderable, filled_up
from shop.rules.order_quantity import PriceFrom


def part(packs, position, yearly, *prices):
    breaks = [PriceFrom(least, Decimal(price)) for least, price in prices or [(1, 10)]]
    return Orderable(packs, Decimal(position), Decimal(yearly), breaks)


def test_an_order_that_is_large_enough_stays_as_it_is():
    assert filled_up([part(5, 0, 10), part(0, 0, 10)], Decimal(50)) == [5, 0]


def test_what_would_run_out_first_is_added_to_pack_by_pack():
    # Packs of 10 up to 80: one is there. The second part lasts 0 years, then 1/10 and 2/10; the
    # first (1 + 1) / 5 = 4/10 as it is, so that the second is added to until it lasts longer.
    parts = [part(1, 1, 5), part(0, 0, 10)]
    assert filled_up(parts, Decimal(50)) == [1, 4]
    assert filled_up(parts, Decimal(80)) == [2, 6]


def test_nothing_is_bought_for_more_than_a_year_and_the_order_stays_too_small():
    assert filled_up([part(1, 1, 3), part(0, 2, 3)], Decimal(500)) == [2, 1]


def test_the_first_packs_are_no_fewer_than_are_sold():
    assert filled_up([part(0, 0, 20, (4, 10))], Decimal(20)) == [4]


def test_a_price_break_is_counted_when_it_is_reached():
    # Four at 10, but five at 7 are 35, and six are 42.
    assert filled_up([part(4, 0, 20, (1, 10), (5, 7))], Decimal(41)) == [6]


@pytest.mark.parametrize("minimum", [0, 1, 999])
def test_nothing_on_sale_adds_nothing(minimum):
    assert filled_up([], Decimal(minimum)) == []
