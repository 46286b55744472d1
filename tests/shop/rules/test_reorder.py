from dataclasses import replace
from decimal import Decimal

import pytest

from shop.rules.lead_time import LeadTime
from shop.rules.order_quantity import OrderCosts, PriceFrom
from shop.rules.reorder import Policy, Stock, Terms, price_at, reorder, stock_position
from shop.rules.reorder_reasons import reasons

WEEKLY = Terms(LeadTime(14, 0), Decimal(10), [PriceFrom(1, Decimal(5))])
POLICY = Policy(Decimal(95), 0, OrderCosts(Decimal(8), Decimal(20)), Decimal("0.75"))
# Three a week and five a week by turns: 4 a week, and before there are enough weeks to compare
# methods, their standard deviation, which is √(8 / 7) of the sample.
DEMAND = [3.0, 5.0] * 4


def stock(**quantities):
    return Stock(**{name: Decimal(str(value)) for name, value in quantities.items()})


def found(demand=DEMAND, terms=WEEKLY, policy=POLICY, *, whole=True, **quantities):
    return reorder(stock(**quantities), terms, policy, demand, whole=whole)


def test_the_reorder_point_is_what_the_lead_time_uses_and_the_safety_stock():
    # By hand: 4 x 2 weeks, 1.644854 x √(2 x 8 / 7) = 2.487.
    result = found(on_hand=100)
    assert result.lead_time_demand.expected == 8
    assert result.safety_stock == Decimal("2.487")
    assert result.reorder_point == 11
    assert found(on_hand=100, whole=False).reorder_point == Decimal("10.487")


@pytest.mark.parametrize(
    ("on_hand", "packs"),
    # A year takes 4 x 365 / 7 = 208.57 units, 20.857 packs; √(2 x 20.857 x 8 / (20 % of 5)) =
    # 18.27 packs, of which 18 cost 104.286 + 9.27 + 9 = 122.556 a year and 19 cost 122.568. From
    # 10 up to 11 + 180 that is 181 units, 19 packs; from 1 it is 190, 19; from 0 it is 191, 20.
    [(12, 0), (11, 0), (10, 19), (1, 19), (0, 20)],
)
def test_enough_is_left_alone_and_less_is_brought_up_to_the_order_quantity(on_hand, packs):
    assert found(on_hand=on_hand).packs == packs


def test_a_review_period_is_covered_as_well():
    # By hand: 4 x 3 weeks, 1.644854 x √(3 x 8 / 7) = 3.046.
    result = found(policy=replace(POLICY, review_days=7), on_hand=100)
    assert (result.lead_time_demand.expected, result.reorder_point) == (12, 16)


@pytest.mark.parametrize(
    ("quantities", "position"),
    # Three offered quotes of four are approved.
    [
        ({"on_hand": 10, "on_order": 5}, "15"),
        ({"on_hand": 10, "in_approved": 6}, "10"),
        ({"on_hand": 10, "short_on_approved": 4}, "6"),
        ({"on_hand": 10, "short_on_offered": 4}, "7"),
        ({"on_hand": 10, "in_offered": 6}, "11.5"),
        ({"short_on_approved": 3}, "-3"),
    ],
)
def test_what_may_be_counted_on_is_less_than_what_there_is(quantities, position):
    assert stock_position(stock(**quantities), Decimal("0.75")) == Decimal(position)


def test_a_part_that_is_never_asked_for_is_not_ordered():
    result = found(demand=[])
    assert (result.reorder_point, result.packs, result.days_of_cover) == (0, 0, None)
    assert (result.order, result.cost) == (None, 0)


def test_a_shortage_is_ordered_in_whole_packs_even_without_a_history():
    assert found(demand=[], short_on_approved=11).packs == 2


def test_what_is_on_order_already_is_not_ordered_again():
    assert found(demand=[], short_on_approved=11, on_order=20).packs == 0


def test_no_fewer_packs_are_ordered_than_are_sold():
    terms = replace(WEEKLY, prices=[PriceFrom(4, Decimal(5))])
    assert found(demand=[], terms=terms, short_on_approved=11).packs == 4


def test_days_of_cover_are_those_of_what_may_be_counted_on():
    # Four a week last 17.5 days when ten are left.
    assert found(on_hand=10).days_of_cover == 17
    assert found(short_on_approved=3).days_of_cover == 0


@pytest.mark.parametrize(("packs", "price"), [(1, 9), (4, 9), (5, 8), (40, 8)])
def test_an_order_is_priced_by_the_packs_in_it(packs, price):
    assert price_at([PriceFrom(5, Decimal(8)), PriceFrom(2, Decimal(9))], packs) == price


def test_each_number_is_told_with_the_sum_that_gives_it():
    quantities = stock(on_hand=10, short_on_offered=4)
    result = reorder(quantities, WEEKLY, POLICY, DEMAND, whole=True)
    told = {
        reason.number: reason.formula
        for reason in reasons(quantities, WEEKLY, POLICY, len(DEMAND), result)
    }
    assert told["lead_time_demand"] == "4.00 × (14 + 0) / 7 = 8.00"
    assert told["safety_factor"] == "z(95 %) = 1.645"
    assert told["safety_stock"] == "1.645 × 1.51 = 2.487"
    assert told["reorder_point"] == "8.00 + 2.487, rounded up = 11"
    assert told["position"].endswith(
        "- 0.75 × 4 they are short of - 0 that approved quotes are short of = 7"
    )
    assert told["days_of_cover"] == "7 / 0.571 a day"
    assert told["economic_packs"].startswith(
        "√(2 × 20.86 packs a year × 8 an order / (20 % of 5)) = 18.27"
    )
    assert told["suggested_packs"].startswith("7 is below the reorder point 11")


def test_a_part_without_demand_is_told_in_words():
    quantities = stock(on_hand=1)
    result = reorder(quantities, WEEKLY, POLICY, [0.0] * 20, whole=True)
    told = [reason.formula for reason in reasons(quantities, WEEKLY, POLICY, 20, result)]
    assert told[0] == "nothing was asked for in 20 weeks"
    assert told[-1] == "1 is not below the reorder point 0"
