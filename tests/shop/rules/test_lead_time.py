from decimal import Decimal
from math import sqrt
from random import Random

import pytest
from scipy.stats import gamma, norm
from stockpyl.newsvendor import newsvendor_normal

from shop.rules.lead_time import (
    Demand,
    lead_time,
    lead_time_demand,
    safety_factor,
    safety_stock,
    together,
    undershoot,
)


def point(per_period, spread, periods, periods_spread, level):
    found = lead_time_demand(per_period, spread, periods, periods_spread)
    return found.expected + safety_stock(found, safety_factor(Decimal(level)), skewed=False)


@pytest.mark.parametrize(
    ("per_day", "spread", "days", "days_spread", "level", "expected"),
    [
        # Heizer and Render, "Operations Management", ch. 12 (from memory), with the exact z:
        # printed are 39.05 (z 1.28), 80.55 (z 2.055) and 1004 (z 1.65).
        (15, 5, 2, 0, "90", 39.062),
        (10, 0, 6, 1, "98", 80.537),
        (150, 16, 5, 1, "95", 1003.65),
    ],
)
def test_the_reorder_point_is_that_of_the_textbook(
    per_day, spread, days, days_spread, level, expected
):
    found = point(per_day, spread, days, days_spread, level)
    assert found == pytest.approx(expected, abs=0.006)


def test_a_lead_time_that_varies_by_a_day_is_worth_a_day_of_demand():
    # A course question (BrainMass): 12 500 a day, 4 days with a spread of 1, z printed as 1.88 for
    # 97 %, 73 500 in all.
    found = lead_time_demand(12_500, 0, 4, 1)
    assert found.expected + 1.88 * found.spread == 73_500
    assert safety_factor(Decimal(97)) == pytest.approx(1.88, abs=0.005)


@pytest.mark.parametrize(
    ("days_spread", "expected"),
    # A fixed-period problem: 60 a day with a spread of 2, a look every 10 days, a lead time of 5,
    # 2.5 % risk, 480 on hand. An answer of 479.44 goes round for the second, which leaves the
    # review period out of the variance.
    [(0, 435.18), (0.5, 480.73)],
)
def test_an_order_at_a_look_covers_the_review_period_too(days_spread, expected):
    assert point(60, 2, 10 + 5, days_spread, "97.5") - 480 == pytest.approx(expected, abs=0.005)


@pytest.mark.parametrize("seed", range(200))
def test_the_level_is_the_base_stock_of_stockpyl(seed):
    # The critical ratio b / (b + h) is the service level when h is what is left of it.
    random = Random(seed)
    mean, level, periods = random.uniform(1, 90), random.uniform(0.6, 0.999), random.randint(0, 12)
    spread = mean * random.uniform(0.01, 0.3)
    expected, _ = newsvendor_normal(1 - level, level, mean, spread, lead_time=periods)

    found = point(mean, spread, 1 + periods, 0, Decimal(level) * 100)

    assert found == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("percent", ["50", "75", "90", "95", "97.5", "99", "99.99"])
def test_the_safety_factor_is_the_quantile_of_the_normal_distribution(percent):
    level = Decimal(percent)
    assert safety_factor(level) == pytest.approx(norm.ppf(float(level) / 100), abs=1e-12)


def test_what_deliveries_took_counts_once_there_are_three():
    quartiles = [9, 10, 12]
    assert lead_time(14, quartiles, 2).days == 14
    observed = lead_time(14, quartiles, 3)
    # The quartiles of the standard normal distribution are 0.67449 either way.
    assert (observed.days, observed.spread_days) == (10, pytest.approx(3 / 1.34898, rel=1e-5))


def test_a_stated_lead_time_is_taken_to_be_off_by_a_quarter():
    assert lead_time(8).spread_days == 2


@pytest.mark.parametrize("level", ["50", "80", "90", "95", "98", "99"])
@pytest.mark.parametrize("shape", [0.5, 1, 2, 5, 20])
def test_the_safety_stock_of_skewed_demand_is_that_of_the_gamma_distribution(level, shape):
    demand = Demand(3 * shape, 3 * sqrt(shape))
    quantile = gamma.ppf(float(level) / 100, shape, scale=3)
    found = safety_stock(demand, safety_factor(Decimal(level)), skewed=True)
    # What Wilson and Hilferty give up for the sake of a formula, in standard deviations.
    assert abs(found + demand.expected - quantile) < 0.07 * demand.spread


def test_demand_that_hardly_varies_is_the_same_by_both_distributions():
    demand, factor = Demand(1000, 10), safety_factor(Decimal(95))
    normal, skewed = (safety_stock(demand, factor, skewed=each) for each in (False, True))
    assert skewed == pytest.approx(normal, rel=0.01)


@pytest.mark.parametrize("skewed", [False, True])
def test_demand_that_does_not_vary_needs_no_safety_stock(skewed):
    assert safety_stock(Demand(12, 0), 1.645, skewed=skewed) == 0


@pytest.mark.parametrize(
    ("weekly", "spread", "review", "expected"),
    [
        # Renewal theory: what is asked for evenly is half a period below on average; requests of
        # one size that come at random, whose variance is size x mean, half a request; exponential
        # sizes, whose variance is twice that, a whole one, since they forget where they began.
        (4, 0, 1, 2),
        (2, sqrt(6 * 2), 0, 3),
        (2, sqrt(2 * 6 * 2), 0, 6),
        (0, 0, 1, 0),
    ],
)
def test_a_part_is_below_its_reorder_point_when_it_is_ordered(weekly, spread, review, expected):
    found = undershoot(weekly, spread, review)
    assert (found.expected, found.spread) == pytest.approx((expected, expected))


def test_what_has_nothing_to_do_with_each_other_adds_up_in_squares():
    assert together(Demand(5, 3), Demand(1, 4)) == Demand(6, 5)
