from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.rules.valuation import value_taken


class Holding:
    """A holding by the weighted average, for replaying a published problem."""

    def __init__(self):
        self.quantity = self.value = self.cost_of_sales = Decimal(0)

    def buy(self, quantity, unit_cost):
        self.quantity += quantity
        self.value += quantity * Decimal(unit_cost)

    def sell(self, quantity):
        cost = value_taken(Decimal(quantity), self.quantity, self.value, 2)
        self.quantity -= quantity
        self.value -= cost
        self.cost_of_sales += cost


def test_a_perpetual_average_gives_the_published_cost_of_sales():
    # Source: accounting textbook problem on the weighted average (perpetual): 300 at 8, sell 175,
    # buy 375 at 10, sell 280; 500 units at 9.50 after the purchase, cost of that sale 2660, 220
    # left at 2090. Formula: IAS 2, paragraphs 25 and 27.
    holding = Holding()
    holding.buy(300, 8)
    holding.sell(175)
    holding.buy(375, 10)
    assert (holding.quantity, holding.value) == (500, 4750)
    before = holding.cost_of_sales
    holding.sell(280)
    assert holding.cost_of_sales - before == 2660
    assert (holding.quantity, holding.value) == (220, 2090)


def test_an_average_that_does_not_end_gives_the_published_values_to_the_cent():
    # Source: OpenStax, Principles of Accounting 1, chapter 10 (data from memory): cost of sales
    # 7252.94, 285 units left at 8902.06.
    holding = Holding()
    holding.buy(150, 21)
    holding.sell(120)
    holding.buy(225, 27)
    holding.sell(180)
    holding.buy(210, 33)
    assert holding.quantity == 285
    assert holding.cost_of_sales == Decimal("7252.94")
    assert holding.value == Decimal("8902.06")


@given(
    st.lists(st.tuples(st.integers(1, 500), st.decimals(0, 100, places=2)), min_size=1),
    st.data(),
)
def test_value_in_is_value_out_and_value_left(purchases, data):
    holding = Holding()
    for quantity, unit_cost in purchases:
        holding.buy(quantity, unit_cost)
    value_in = holding.value
    while holding.quantity:
        holding.sell(data.draw(st.integers(1, int(holding.quantity))))
        assert holding.value >= 0
    assert holding.value == 0
    assert holding.cost_of_sales == value_in


def test_the_last_unit_takes_what_is_left():
    assert value_taken(Decimal(1), Decimal(1), Decimal("0.01"), 2) == Decimal("0.01")


@pytest.mark.parametrize(("held_quantity", "held_value"), [(0, 0), (2, 5)])
def test_more_than_is_held_is_worth_what_is_held(held_quantity, held_value):
    # The ledger refuses such a move; until then it has a value.
    assert value_taken(Decimal(3), Decimal(held_quantity), Decimal(held_value), 2) == held_value


@pytest.mark.parametrize(("quantity", "value"), [(1, "3.33"), (2, "6.67"), (3, "10.00")])
def test_a_share_is_rounded_to_money(quantity, value):
    assert value_taken(Decimal(quantity), Decimal(3), Decimal(10), 2) == Decimal(value)
