from decimal import Decimal
from fractions import Fraction

import pytest
from scipy.stats import betabinom

from diagnostics.rules.comparison import Cures
from diagnostics.rules.cure_rate import CureRate, eight_in_ten

SIX_TENTHS = Decimal("0.6")


# A beta distribution of (3, 2) moved by counts: its mean is (3 + cured) / (5 + followed), by hand.
@pytest.mark.parametrize(
    ("counted", "share", "weight"),
    [
        (Cures(0, 0), Fraction(3, 5), 5),
        (Cures(5, 5), Fraction(8, 10), 10),
        (Cures(0, 10), Fraction(3, 15), 15),
        (Cures(72, 120), Fraction(75, 125), 20),  # weighs no more than 20 faults
    ],
)
def test_follow_ups_move_the_catalogues_share(counted, share, weight):
    rate = CureRate(SIX_TENTHS, counted)
    assert (rate.share, rate.weight) == (share, weight)


@pytest.mark.parametrize(
    ("counted", "notes", "a", "b"),
    [(Cures(0, 0), 30, 3, 2), (Cures(5, 5), 12, 8, 2), (Cures(72, 120), 88, 12, 8)],
)
def test_the_number_cured_is_beta_binomial(counted, notes, a, b):
    expected = betabinom(notes, a, b).pmf(range(notes + 1))
    assert CureRate(SIX_TENTHS, counted).cured_chances(notes) == pytest.approx(expected, abs=1e-12)


def test_what_eight_in_ten_rooms_cure_lies_between_the_tenths():
    # scipy's beta-binomial, by its own ppf.
    chances = CureRate(SIX_TENTHS).cured_chances(30)
    assert eight_in_ten(chances) == (betabinom(30, 3, 2).ppf(0.1), betabinom(30, 3, 2).ppf(0.9))
