from dataclasses import replace
from decimal import Decimal

import pytest

from shop.rules.lead_time import LeadTime
from shop.rules.order_quantity import OrderCosts, PriceFrom, price_at
from shop.rules.reorder import Policy, Stock, Terms, reorder, stock_position, with_packs
from shop.rules.reorder_reasons import reasons

WEEKLY = Terms(LeadTime(14, 0), Decimal(10), [PriceFrom(1, Decimal(5))])
POLICY = Policy(Decimal(95), 0, OrderCosts(Decimal(8), Decimal(20)), Decimal("0.75"))
# Three a week and five a week by turns: 4 a week, and before there are enough weeks to compare
# methods, the standard deviation of the sample, √(14 / 13).
DEMAND = [3.0, 5.0] * 7


def stock(**quantities):
    return Stock(**{name: Decimal(str(value)) for name, value in quantities.items()})


def found(demand=DEMAND, terms=WEEKLY, policy=POLICY, *, whole=True, **quantities):
    return reorder(stock(**quantities), [terms], policy, demand, whole=whole)


def test_the_reorder_point_is_what_the_lead_time_uses_and_the_safety_stock():
    # By hand: 4 x 2 weeks, below the point by 14 / 13 / (2 x 4) = 0.135 when it is ordered, and
    # 1.644854 x √(2 x 14 / 13 + 0.135²) = 2.424.
    result = found(on_hand=100)
    assert result.lead_time_demand.expected == 8
    assert result.safety_stock == Decimal("2.424")
    assert result.reorder_point == 11
    assert found(on_hand=100, whole=False).reorder_point == Decimal("10.559")


@pytest.mark.parametrize(
    ("on_hand", "packs"),
    # A year takes 4 x 365 / 7 = 208.57 units, 20.857 packs; √(2 x 20.857 x 8 / (20 % of 5)) =
    # 18.27 packs are more than the 56 units of the 14 weeks that are known. From 10 up to 11 + 56
    # that is 57 units, 6 packs; from 7 it is 60, 6; from 6 it is 61, 7.
    [(12, 0), (11, 0), (10, 6), (7, 6), (6, 7)],
)
def test_enough_is_left_alone_and_less_is_brought_up_to_the_order_quantity(on_hand, packs):
    assert found(on_hand=on_hand).packs == packs


def test_a_year_of_demand_is_ordered_by_the_economic_quantity():
    # As above, for 52 weeks without a spread: 18 packs cost 104.286 + 9.27 + 9 = 122.556 a year,
    # and 19 cost 122.568. From 0 up to 8 + 180 that is 19 packs.
    result = found(demand=[4.0] * 52, on_hand=0)
    assert (result.order.packs, result.reorder_point, result.packs) == (18, 8, 19)
    assert result.order.economic_packs == pytest.approx(Decimal("18.27"), abs=Decimal("0.005"))


def test_a_large_pack_that_goes_above_the_reorder_point_is_enough():
    terms = replace(WEEKLY, pack_quantity=Decimal(1000))
    assert found(terms=terms, short_on_approved=150).packs == 1


def test_a_review_period_is_covered_as_well():
    # By hand: half a week more below the point, 2.135 in all; 1.644854 x √(2 x 14 / 13 + 2.135²)
    # are 4.261, and 8 + 2.135 + 4.261 = 14.396.
    result = found(policy=replace(POLICY, review_days=7), on_hand=100)
    assert (result.safety_stock, result.reorder_point) == (Decimal("4.261"), 15)


@pytest.mark.parametrize(
    ("quantities", "position"),
    # Three offered quotes of four are approved.
    [
        ({"on_hand": 10, "on_order": 5, "drafted": 2}, "15"),
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


BY_THE_HUNDRED = replace(
    WEEKLY, pack_quantity=Decimal(100), prices=[PriceFrom(1, Decimal(40))], offer_id=2
)


@pytest.mark.parametrize(
    ("demand", "offer_id"),
    # A hundred cost 40 in place of 50, but hardly anybody needs so many; unasked for, the unit's
    # price decides.
    [(DEMAND, 2), ([0.02] * 8, None), ([], 2)],
)
def test_a_part_is_bought_in_the_pack_that_makes_the_year_cheapest(demand, offer_id):
    result = reorder(Stock(), [WEEKLY, BY_THE_HUNDRED], POLICY, demand, whole=True)
    assert result.terms.offer_id == offer_id


def test_packs_that_are_added_are_priced_and_told():
    result = with_packs(found(on_hand=20), 3)
    assert (result.packs, result.added_packs, result.cost) == (3, 3, 15)
    told = reasons(stock(on_hand=20), POLICY, len(DEMAND), result)[-1].formula
    assert told == (
        "20 is not below the reorder point 11; 3 packs more for the supplier's minimum order"
    )


def test_days_of_cover_are_those_of_what_may_be_counted_on():
    # Four a week last 17.5 days when ten are left.
    assert found(on_hand=10).days_of_cover == 17
    assert found(short_on_approved=3).days_of_cover == 0


@pytest.mark.parametrize(("packs", "price"), [(1, 9), (4, 9), (5, 8), (40, 8)])
def test_an_order_is_priced_by_the_packs_in_it(packs, price):
    assert price_at([PriceFrom(5, Decimal(8)), PriceFrom(2, Decimal(9))], packs) == price


def test_each_number_is_told_with_the_sum_that_gives_it():
    quantities = stock(on_hand=10, short_on_offered=4)
    result = reorder(quantities, [WEEKLY], POLICY, DEMAND, whole=True)
    told = {
        reason.number: reason.formula for reason in reasons(quantities, POLICY, len(DEMAND), result)
    }
    assert told["lead_time_demand"] == "4.00 × 14 / 7 = 8.00"
    assert told["undershoot"].startswith("1.04² / (2 × 4.00) + 4.00 × 0 / 14 = 0.13,")
    assert told["safety_factor"] == "z(95 %) = 1.645"
    assert told["safety_stock"] == "1.645 × √(1.47² + 0.13²) = 2.424"
    assert told["reorder_point"] == "8.00 + 0.13 + 2.424, rounded up = 11"
    assert told["position"].endswith(
        "- 0.75 × 4 they are short of - 0 that approved quotes are short of = 7"
    )
    assert told["days_of_cover"] == "7 / 0.571 a day"
    assert told["economic_packs"].startswith(
        "√(2 × 20.86 packs a year × 8 an order / (20 % of 5)), but"
    )
    assert told["suggested_packs"].startswith("7 is below the reorder point 11")


def test_the_safety_stock_of_rare_demand_is_told_by_its_distribution():
    rare = [0.0, 0.0, 0.0, 9.0] * 5
    result = reorder(Stock(), [WEEKLY], POLICY, rare, whole=True)
    told = {reason.number: reason.formula for reason in reasons(Stock(), POLICY, 20, result)}
    assert result.pattern.pattern == "intermittent"
    assert "gamma distribution" in told["safety_stock"]


def test_a_part_without_demand_is_told_in_words():
    quantities = stock(on_hand=1)
    result = reorder(quantities, [WEEKLY], POLICY, [0.0] * 20, whole=True)
    told = [reason.formula for reason in reasons(quantities, POLICY, 20, result)]
    assert told[0] == "nothing was asked for in 20 weeks"
    assert told[-1] == "1 is not below the reorder point 0"
