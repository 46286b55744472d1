from decimal import Decimal
from random import Random

import pytest
from stockpyl.eoq import (
    economic_order_quantity as stockpyl_quantity,
)
from stockpyl.eoq import (
    economic_order_quantity_with_all_units_discounts as stockpyl_discounts,
)

from shop.rules.order_quantity import (
    OrderCosts,
    PriceFrom,
    economic_order_quantity,
    pack_order,
    packs_up,
    yearly_cost,
)

CENTURY = Decimal(100)


def order(yearly, breaks, per_order=8, holding_percent=20, most_years=CENTURY):
    return pack_order(
        yearly=Decimal(str(yearly)),
        breaks=[PriceFrom(packs, Decimal(str(price))) for packs, price in breaks],
        costs=OrderCosts(Decimal(str(per_order)), Decimal(str(holding_percent))),
        most_years=most_years,
    )


@pytest.mark.parametrize(
    ("yearly", "per_order", "holding", "expected"),
    [
        # Heizer and Render, "Operations Management", the hypodermic needles: 200.
        ("1000", "10", "0.50", "200"),
        # Nahmias, "Production and Operations Analysis", example 4.1, pencils at 0.02 and 25 %:
        # printed as 3870.
        ("3120", "12", "0.005", "3869.88"),
        # A course question: printed as 346.
        ("1000", "150", "2.50", "346.41"),
    ],
)
def test_the_economic_order_quantity_is_that_of_the_textbook(yearly, per_order, holding, expected):
    found = economic_order_quantity(Decimal(yearly), Decimal(per_order), Decimal(holding))
    assert round(found, 2) == Decimal(expected)


def test_the_needles_are_ordered_five_times_a_year_for_a_hundred_in_all():
    # Heizer and Render, as above: 5 orders, 100 for orders and keeping; 0.50 is 5 % of 10.
    found = order(1000, [(1, 10)], per_order=10, holding_percent=5)
    assert (found.packs, 1000 / found.packs) == (200, 5)
    assert found.yearly_cost - 1000 * 10 == 100


@pytest.mark.parametrize("seed", range(200))
def test_the_quantity_and_its_cost_are_those_of_stockpyl(seed):
    random = Random(seed)
    yearly, count = random.randint(100, 50_000), random.randint(1, 4)
    per_order, rate = round(random.uniform(1, 200), 2), round(random.uniform(0.05, 0.5), 4)
    breaks = [0, *sorted(random.sample(range(5, 2000), count - 1))]
    prices = sorted((round(random.uniform(0.5, 40), 2) for _ in range(count)), reverse=True)
    if count == 1:
        quantity, of_orders = stockpyl_quantity(per_order, rate * prices[0], yearly)
        cost = of_orders + yearly * prices[0]
    else:
        quantity, _, cost = stockpyl_discounts(per_order, rate, yearly, breaks, prices)

    found = order(yearly, list(zip(breaks, prices, strict=True)), per_order, round(rate * 100, 2))

    assert abs(found.packs - quantity) <= 1
    assert float(found.yearly_cost) == pytest.approx(cost, rel=1e-4)


@pytest.mark.parametrize("seed", range(50))
def test_no_other_number_of_packs_makes_the_year_cheaper(seed):
    random = Random(seed)
    yearly = Decimal(random.randint(1, 60))
    breaks = [(1, 9), (random.randint(2, 9), 8), (random.randint(10, 40), "7.5")]
    costs = OrderCosts(Decimal(random.randint(0, 20)), Decimal(random.randint(0, 40)))
    found = order(yearly, breaks, costs.per_order, costs.holding_percent, Decimal(2))
    prices = {
        packs: Decimal(str([price for least, price in breaks if least <= packs][-1]))
        for packs in range(1, int(yearly * 2) + 1)
    }
    cheapest = min(yearly_cost(packs, yearly, price, costs) for packs, price in prices.items())
    assert found.yearly_cost == cheapest


@pytest.mark.parametrize(
    ("yearly", "breaks", "packs"),
    [
        (10, [(1, 1)], 10),  # the economic quantity is 28, a year's demand 10
        ("0.1", [(1, 1)], 1),  # one pack lasts ten years, and there is no less
        ("0.1", [(3, 1)], 3),  # nor less than the smallest order
        (10, [(1, 1), (25, "0.1")], 10),  # cheap as the twenty-fifth may be
        (10, [(1, 0)], 10),  # what costs nothing to keep
    ],
)
def test_no_more_than_a_year_is_bought_at_once(yearly, breaks, packs):
    assert order(yearly, breaks, most_years=Decimal(1)).packs == packs


def test_a_price_break_within_reach_is_taken():
    # By hand, for 100 packs a year: 12 at 10 cost 1000 + 66.67 + 12 = 1078.67 a year at most, and
    # 40 at 9 cost 900 + 20 + 36 = 956.
    assert order(100, [(1, 10), (40, 9)]).packs == 40
    assert order(100, [(1, 10), (40, 9)]).yearly_cost == 956


@pytest.mark.parametrize(("packs", "expected"), [("0", 0), ("1", 1), ("1.001", 2), ("-0.5", 0)])
def test_packs_cover_a_part_of_one(packs, expected):
    assert packs_up(Decimal(packs)) == expected
