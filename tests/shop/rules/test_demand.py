import pytest

from shop.rules.demand import demand_pattern

# productC: Hyndman and Athanasopoulos, "Forecasting: Principles and Practice", 2nd ed., s. 12.2.
PRODUCT_C = [
    *(0, 2, 0, 1, 0, 11, 0, 0, 0, 0, 2, 0, 6, 3, 0, 0, 0, 0),
    *(0, 7, 0, 0, 0, 0, 0, 0, 0, 3, 1, 0, 0, 1, 0, 1, 0, 0),
]


@pytest.mark.parametrize(
    ("demand", "pattern"),
    [
        # The four quadrants of Syntetos, Boylan and Croston (2005): ADI 1.32 and CV² 0.49.
        ([4, 5, 6, 5, 4, 5], "smooth"),
        ([1, 9, 1, 12, 1, 1], "erratic"),
        ([0, 5, 0, 0, 4, 0], "intermittent"),
        ([0, 1, 0, 0, 12, 0], "lumpy"),
        ([0, 0, 0], "none"),
        ([], "none"),
    ],
)
def test_demand_is_named_by_how_often_and_how_evenly_it_comes(demand, pattern):
    assert demand_pattern(demand).pattern == pattern


def test_a_series_from_a_book_is_lumpy():
    found = demand_pattern(PRODUCT_C)
    # By hand: 11 of 36 weeks have demand, 38 in all; squares sum to 236, so that the variance of
    # the sample is (236 - 38²/11) / 10 = 10.4727 and CV² is that over (38/11)² = 11.9339.
    assert found.mean_interval == pytest.approx(36 / 11)
    assert found.squared_variation == pytest.approx(0.87756, abs=5e-6)
    assert found.pattern == "lumpy"


def test_a_single_demand_does_not_vary():
    assert demand_pattern([0, 0, 7]).squared_variation == 0
