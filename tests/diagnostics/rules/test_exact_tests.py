from fractions import Fraction
from itertools import combinations, product
from math import comb, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import binomtest, fisher_exact
from statsmodels.sandbox.stats.runs import runstest_1samp
from statsmodels.stats.multitest import multipletests

from diagnostics.rules.exact_tests import (
    few_runs_probability,
    holm,
    long_run_probability,
    more_inside_probability,
    run_lengths,
    runs_ways,
    wilson_interval,
)

SMALL = [(ones, zeros) for ones, zeros in product(range(8), range(8)) if ones + zeros]
chances = st.fractions(min_value=0, max_value=1)


def arrangements(ones, zeros):
    total = ones + zeros
    for places in combinations(range(total), ones):
        yield [place in places for place in range(total)]


# Ways of 11 ones and 14 zeros to make 2, 3, ... 23 runs. Source: R. Koopman, "Runs test",
# MathGroup mg53905 (2005).
KOOPMAN = (
    *(2, 23, 260, 1365, 7020, 22230, 68640, 145860, 300300, 450450, 648648, 702702, 720720),
    *(566280, 411840, 231660, 115830, 45045, 14300, 3575, 572, 78),
)
KOOPMAN_SERIES = [digit == "1" for digit in "0001011001100110001011100"]


def test_the_runs_distribution_is_the_published_one():
    assert [runs_ways(runs, 11, 14) for runs in range(2, 24)] == list(KOOPMAN)
    assert sum(KOOPMAN) == 4_457_400
    assert len(run_lengths(KOOPMAN_SERIES)) == 13
    assert float(few_runs_probability(13, 11, 14)) == pytest.approx(0.526652, abs=5e-7)


def test_eight_runs_of_fifteen_and_ten_have_the_exact_probability():
    # Source: the example of 15 A and 10 B in 8 runs of a course page, counted as a fraction.
    assert few_runs_probability(8, 15, 10) == Fraction(22513, 817190)


@pytest.mark.parametrize("row", [KOOPMAN_SERIES, [True] * 5 + [False, True] * 4 + [False] * 9])
def test_the_exact_distribution_gives_the_z_of_statsmodels(row):
    ones, total = sum(row), len(row)
    ways = {runs: runs_ways(runs, ones, total - ones) for runs in range(2, total + 1)}
    mean = sum(runs * count for runs, count in ways.items()) / comb(total, ones)
    square = sum(runs**2 * count for runs, count in ways.items()) / comb(total, ones)
    z = (len(run_lengths(row)) - mean) / sqrt(square - mean**2)
    numbers = [float(is_one) for is_one in row]
    assert z == pytest.approx(runstest_1samp(numbers, cutoff="mean", correction=False)[0])


@pytest.mark.parametrize(("ones", "zeros"), SMALL)
def test_runs_are_as_often_as_in_all_arrangements(ones, zeros):
    rows = [len(run_lengths(row)) for row in arrangements(ones, zeros)]
    for runs in range(ones + zeros + 2):
        assert runs_ways(runs, ones, zeros) == rows.count(runs)
        at_most = sum(found <= runs for found in rows)
        assert few_runs_probability(runs, ones, zeros) == Fraction(at_most, len(rows))


@pytest.mark.parametrize(("ones", "zeros"), SMALL)
def test_long_runs_are_as_often_as_in_all_arrangements(ones, zeros):
    longest = [
        max((length for value, length in run_lengths(row) if value), default=0)
        for row in arrangements(ones, zeros)
    ]
    for length in range(ones + 2):
        at_least = sum(found >= length for found in longest)
        assert long_run_probability(length, ones, zeros) == Fraction(at_least, len(longest))


def test_a_lady_tasting_tea_has_the_published_chances():
    # Source: R. A. Fisher, "The Design of Experiments" (1935), chapter II: 1 and 17 in 70.
    assert more_inside_probability(4, 4, 4, 8) == Fraction(1, 70)
    assert more_inside_probability(3, 4, 4, 8) == Fraction(17, 70)


@given(st.data())
def test_the_test_of_a_group_agrees_with_scipy(data):
    total = data.draw(st.integers(2, 100))
    group = data.draw(st.integers(1, total - 1))
    affected = data.draw(st.integers(0, total))
    inside = data.draw(st.integers(max(0, affected - (total - group)), min(group, affected)))
    outside = affected - inside
    table = [[inside, group - inside], [outside, total - group - outside]]
    expected = fisher_exact(table, alternative="greater").pvalue
    assert float(more_inside_probability(inside, group, affected, total)) == pytest.approx(expected)


# Source: R. G. Newcombe, "Two-sided confidence intervals for the single proportion", Statistics in
# Medicine 17 (1998), 857, table I, score method without continuity correction.
@pytest.mark.parametrize(
    ("count", "total", "low", "high"),
    [
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ],
)
def test_the_interval_of_a_share_is_the_published_one(count, total, low, high):
    assert wilson_interval(count, total) == pytest.approx((low, high), abs=5e-5)


@given(st.integers(1, 200), st.integers(0, 200))
def test_the_interval_agrees_with_scipy_and_holds_the_share(total, count):
    count = min(count, total)
    low, high = wilson_interval(count, total)
    expected = binomtest(count, total).proportion_ci(method="wilson")
    assert (low, high) == pytest.approx((expected.low, expected.high), abs=1e-9)
    assert 0 <= low <= count / total <= high <= 1


@pytest.mark.parametrize(("count", "total"), [(0, 0), (-1, 5), (6, 5)])
def test_what_is_no_share_has_no_interval(count, total):
    with pytest.raises(ValueError, match="no share"):
        wilson_interval(count, total)


@settings(max_examples=25)
@given(st.lists(chances, min_size=1, max_size=8))
def test_the_correction_for_several_looks_agrees_with_statsmodels(found):
    expected = multipletests([float(chance) for chance in found], method="holm")[1]
    corrected = holm(found)
    assert [float(chance) for chance in corrected] == pytest.approx(list(expected))
    assert all(after >= before for after, before in zip(corrected, found, strict=True))


def test_one_look_needs_no_correction():
    assert holm([Fraction(1, 30)]) == [Fraction(1, 30)]
    assert holm([]) == []
