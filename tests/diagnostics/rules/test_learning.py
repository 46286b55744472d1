import pytest
from scipy import stats

from diagnostics.rules.learning import Count, share_learnt, weights_learnt


@pytest.mark.parametrize(("shown", "cases"), [(0, 0), (0, 5), (3, 4), (20, 20)])
def test_a_share_is_learnt_by_the_rule_of_succession(shown, cases):
    # (s + 1) / (n + 2), from an even chance worth two cases. Source: Laplace, Essai philosophique
    # sur les probabilités (1814).
    assert share_learnt(0.5, Count(shown, cases), 2) == pytest.approx((shown + 1) / (cases + 2))


@pytest.mark.parametrize(("estimate", "shown", "cases"), [(0.7, 2, 9), (0.05, 0, 3), (0.9, 8, 8)])
def test_a_share_is_the_mean_of_the_beta_distribution(estimate, shown, cases):
    ahead, behind = 10 * estimate + shown, 10 * (1 - estimate) + cases - shown
    expected = stats.beta(ahead, behind).mean()
    assert share_learnt(estimate, Count(shown, cases)) == pytest.approx(expected)


def test_weights_are_the_mean_of_the_dirichlet_distribution():
    estimates, cases = {"a": 0.3, "b": 0.1, "c": 0.2}, {"a": 4, "c": 11, "elsewhere": 9}
    found = weights_learnt(estimates, cases)
    expected = stats.dirichlet([25 + 4, 50 / 6 + 0, 50 / 3 + 11]).mean()
    assert list(found.values()) == pytest.approx(list(expected))


def test_without_cases_the_estimates_stand():
    assert share_learnt(0.7, Count()) == pytest.approx(0.7)
    assert weights_learnt({"a": 0.3, "b": 0.1}, {}) == pytest.approx({"a": 0.75, "b": 0.25})


def test_the_shops_own_cases_count_half_once_there_are_as_many():
    assert share_learnt(0.8, Count(0, 10)) == pytest.approx(0.4)
    found = weights_learnt({"a": 0.5, "b": 0.5}, {"a": 50})
    assert found["a"] == pytest.approx(0.75)
