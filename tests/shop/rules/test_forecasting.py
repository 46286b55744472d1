from math import sqrt
from random import Random

import pytest
from statsmodels.tsa.holtwinters import SimpleExpSmoothing

from shop.rules.forecasting import (
    all_forecasts,
    croston,
    forecast,
    means,
    smoothed,
    syntetos_boylan,
)
from tests.shop.rules.test_demand import PRODUCT_C

SECOND = [6, 0, 0, 1, 0, 0, 0, 0, 2, 0, 0, 1, 0, 0, 2, 0, 0, 0, 3, 0]


@pytest.mark.parametrize(
    ("demand", "smoothing", "expected"),
    [
        # Expected: R package forecast 8.20, croston(), which begins at the first demand and its
        # interval as Croston (1972) does. The series is productC of FPP2, s. 12.2.
        (PRODUCT_C, 0.05, 1.02734691101967),
        (PRODUCT_C, 0.1, 0.984596521357774),
        (PRODUCT_C, 0.2, 0.848411662175547),
        # The same program on a series without a source.
        (SECOND, 0.1, 2.08994004319989),
        (SECOND, 0.2, 1.20053538175046),
    ],
)
def test_crostons_forecast_is_that_of_a_published_program(demand, smoothing, expected):
    assert croston(demand, smoothing)[-1] == pytest.approx(expected, abs=1e-14)


@pytest.mark.parametrize(
    ("smoothing", "expected"),
    # As above, times 1 - smoothing / 2: Syntetos and Boylan (2005).
    [(0.1, 0.93536669528989), (0.2, 0.763570495957992)],
)
def test_the_approximation_of_syntetos_and_boylan_takes_off_the_bias(smoothing, expected):
    found = syntetos_boylan(croston(PRODUCT_C, smoothing), smoothing)
    assert found[-1] == pytest.approx(expected, abs=1e-14)


# The library also takes the logarithm of an error that is not there.
@pytest.mark.filterwarnings("ignore:divide by zero encountered in log")
@pytest.mark.parametrize("seed", range(20))
def test_smoothing_is_that_of_statsmodels(seed):
    demand = [Random(seed).uniform(0, 10) for _ in range(40)]
    model = SimpleExpSmoothing(demand, initialization_method="known", initial_level=demand[0]).fit(
        smoothing_level=0.1, optimized=False
    )

    forecasts = smoothed(demand, 0.1)

    assert forecasts[:-1] == pytest.approx(list(model.fittedvalues))
    assert forecasts[-1] == pytest.approx(model.forecast(1)[0])


def test_the_mean_is_of_the_weeks_before():
    assert means([4, 0, 2]) == [0, 4, 2, 2]


@pytest.mark.parametrize("demand", [[], [0, 0, 0]])
def test_nothing_forecasts_nothing(demand):
    for forecasts in all_forecasts(demand).values():
        assert forecasts == [0] * (len(demand) + 1)


def test_a_forecast_does_not_see_the_week_that_it_is_of():
    before, after = (all_forecasts(each) for each in (PRODUCT_C, [*PRODUCT_C[:-1], 99]))
    for method, forecasts in before.items():
        assert after[method][:-1] == forecasts[:-1]
        assert after[method][-1] != forecasts[-1]


@pytest.mark.parametrize(
    ("demand", "method"),
    [
        # A level that stays is met exactly by its mean, and by the others no better.
        ([5.0] * 40, "mean"),
        # A level that has risen is caught up with by smoothing.
        ([2.0] * 20 + [9.0] * 40, "exponential_smoothing"),
        # Rare demand whose size has risen: between demands Croston's forecast waits.
        ([0.0, 0, 0, 2] * 10 + [0.0, 0, 0, 12] * 14, "croston"),
        # Rare demand that has become rarer: the approximation is the lower of the two.
        ([0.0, 0, 5] * 8 + [0.0, 0, 0, 0, 0, 5] * 8, "syntetos_boylan"),
    ],
)
def test_the_method_that_erred_least_is_taken(demand, method):
    assert forecast(demand).method == method


def test_the_error_is_the_root_mean_square_of_what_the_later_half_was_missed_by():
    found = forecast([0.0, 2.0] * 8)
    # By hand: the means before weeks 9 to 16 are 1, 8/9, 1, 10/11, 1, 12/13, 1 and 14/15.
    misses = [1, 2 - 8 / 9, 1, 2 - 10 / 11, 1, 2 - 12 / 13, 1, 2 - 14 / 15]
    assert found.tested_weeks == 8
    assert found.errors["mean"] == pytest.approx(sqrt(sum(miss**2 for miss in misses) / 8))
    assert found.error == min(found.errors.values())


def test_too_few_weeks_give_their_mean_and_their_spread():
    found = forecast([1.0, 3.0] * 7)
    # By hand: each of 14 is off by 1, and the sample's variance is 14 / 13.
    assert (found.method, found.per_week, found.errors) == ("mean", 2, {})
    assert found.error == pytest.approx(sqrt(14 / 13))


@pytest.mark.parametrize("demand", [[26.0], [0.0] * 12 + [26.0]])
def test_one_busy_week_is_not_taken_for_the_rule(demand):
    # By hand: 26 in 13 weeks; squares sum to 24² + 12 x 2² = 624, over 12.
    found = forecast(demand)
    assert (found.per_week, found.error) == (2, pytest.approx(sqrt(52)))
