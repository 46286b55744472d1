"""How often treating the room cures a note: the catalogue's estimate, moved by follow-ups."""

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from itertools import accumulate

from diagnostics.rules.beta_binomial import beta_binomial_chances
from diagnostics.rules.comparison import NO_CURES, Cures
from diagnostics.rules.formulas import Formula

CURE_RATE = Formula(
    "a share's beta distribution moved by counts, and its mean",
    "Gelman et al., Bayesian Data Analysis, 3rd edition (2013), 2.4",
)

# What the catalogue's estimate weighs, in faults followed up (estimate).
PRIOR_WEIGHT = 5
# The notes of one room are cured together or not at all: however many were followed up, they tell
# no more of the next room than so many of its own would (estimate).
MOST_WEIGHT = 20


@dataclass(frozen=True)
class CureRate:
    """The share of notes that treating one room cures, which is beta distributed.

    `estimate` is the catalogue's share, `counted` what the shop's follow-ups found.
    """

    estimate: Decimal
    counted: Cures = NO_CURES

    @property
    def weight(self) -> Fraction:
        """What all that is known weighs, in faults followed up."""
        return min(Fraction(PRIOR_WEIGHT + self.counted.followed), Fraction(MOST_WEIGHT))

    @property
    def share(self) -> Fraction:
        """The mean of the distribution.

        Source: as `CURE_RATE`.
        """
        cured = PRIOR_WEIGHT * Fraction(self.estimate) + self.counted.cured
        return cured / (PRIOR_WEIGHT + self.counted.followed)

    def cured_chances(self, notes: int) -> list[float]:
        """Return the chance that 0, 1, ... of so many notes of one room are cured."""
        return beta_binomial_chances(notes, float(self.share * self.weight), float(self.weight))


def eight_in_ten(chances: Sequence[float]) -> tuple[int, int]:
    """Return the counts that one case in ten falls short of, and one in ten exceeds, at most."""
    up_to = list(accumulate(chances))
    return bisect_left(up_to, 0.1), bisect_left(up_to, 0.9)
