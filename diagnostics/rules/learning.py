"""How the shop's own cases move the catalogue's estimates, and how far."""

from collections.abc import Hashable, Mapping
from dataclasses import dataclass
from math import fsum
from typing import TypeVar

from diagnostics.rules.formulas import Formula

# How many cases each of the catalogue's estimates is worth: the shop's own count as much as they do
# once there are as many. Estimates themselves.
CASES_BEHIND_WEIGHTS = 50.0
CASES_BEHIND_SHARE = 10.0

FORMULAS = (
    Formula("shares of causes, checks and faults", "the catalogue's estimates"),
    Formula(
        "beta and Dirichlet distributions moved by counts, and their means",
        "Gelman et al., Bayesian Data Analysis, 3rd edition (2013), 2.4 and 3.4",
    ),
)


@dataclass(frozen=True)
class Count:
    """How many of the shop's own cases showed something, out of how many that were looked at."""

    shown: int = 0
    cases: int = 0


NOTHING_COUNTED = Count()
Key = TypeVar("Key", bound=Hashable)


def share_learnt(estimate: float, counted: Count, weight: float = CASES_BEHIND_SHARE) -> float:
    """Return a share, moved from its estimate by what was counted.

    Source: the mean of a beta distribution that the estimate begins with `weight` cases.
    """
    return (weight * estimate + counted.shown) / (weight + counted.cases)


def weights_learnt(
    estimates: Mapping[Key, float],
    cases: Mapping[Key, int],
    weight: float = CASES_BEHIND_WEIGHTS,
) -> dict[Key, float]:
    """Return the shares of causes, adding to one, moved from their weights by the cases of each.

    Source: the mean of a Dirichlet distribution that the estimates begin with `weight` cases.
    """
    total = fsum(estimates.values())
    counted = sum(cases.get(key, 0) for key in estimates)
    return {
        key: (weight * estimate / total + cases.get(key, 0)) / (weight + counted)
        for key, estimate in estimates.items()
    }
