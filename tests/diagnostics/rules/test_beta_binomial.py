import itertools

import pytest
from scipy.stats import betabinom

from diagnostics.rules.beta_binomial import beta_binomial_chances


def quantile(chances, share):
    sums = itertools.accumulate(chances)
    return next(count for count, chance in enumerate(sums) if chance >= share)


# Recomputed in exact fractions beside this project, and equal to scipy's beta-binomial.
@pytest.mark.parametrize(
    ("trials", "a", "b", "mean", "variance", "none", "quantiles"),
    [
        (88, 2, 30, 5.5, 18.75, 465 / 7021, [0, 5, 11, 14, 19]),
        (88, 0.5, 10, 4.190476, 34.183181, 0.3158744, [0, 2, 12, 16, 27]),
        (20, 1, 1, 10, 36 + 2 / 3, 1 / 21, [1, 10, 18, 19, 20]),
        (61, 3, 57, 3.05, 5.7475, 0.1157563, [0, 3, 6, 8, 10]),
    ],
)
def test_counts_with_an_uncertain_common_chance_are_beta_binomial(
    trials, a, b, mean, variance, none, quantiles
):
    chances = beta_binomial_chances(trials, a, a + b)
    found = sum(count * chance for count, chance in enumerate(chances))
    spread = sum((count - found) ** 2 * chance for count, chance in enumerate(chances))
    assert found == pytest.approx(mean, abs=1e-6)
    assert spread == pytest.approx(variance, abs=1e-6)
    assert chances[0] == pytest.approx(none, abs=1e-7)
    assert [quantile(chances, share) for share in (0.05, 0.5, 0.9, 0.95, 0.99)] == quantiles
    assert chances == pytest.approx(betabinom(trials, a, b).pmf(range(trials + 1)), abs=1e-12)


def test_a_chance_that_is_sure_gives_all():
    assert beta_binomial_chances(3, 5, 5) == [0, 0, 0, 1]
