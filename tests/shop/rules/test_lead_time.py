from decimal import Decimal
from random import Random

import pytest
from scipy.stats import norm
from stockpyl.newsvendor import newsvendor_normal

from shop.rules.lead_time import lead_time, lead_time_demand, safety_factor


def point(per_period, spread, periods, periods_spread, level, review=0):
    found = lead_time_demand(per_period, spread, periods, periods_spread, review)
    return found.expected + safety_factor(Decimal(level)) * found.spread


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
    assert point(60, 2, 5, days_spread, "97.5", review=10) - 480 == pytest.approx(
        expected, abs=0.005
    )


@pytest.mark.parametrize("seed", range(200))
def test_the_level_is_the_base_stock_of_stockpyl(seed):
    # The critical ratio b / (b + h) is the service level when h is what is left of it.
    random = Random(seed)
    mean, level, periods = random.uniform(1, 90), random.uniform(0.6, 0.999), random.randint(0, 12)
    spread = mean * random.uniform(0.01, 0.3)
    expected, _ = newsvendor_normal(1 - level, level, mean, spread, lead_time=periods)

    found = point(mean, spread, periods, 0, Decimal(level) * 100, review=1)

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
