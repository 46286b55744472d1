"""How many centre pins of each size to take along when the sizes only show at the bench.

How often a piano needs each size is itself unknown, so the numbers needed of the sizes are
Dirichlet-multinomial: a multinomial count whose shares are drawn anew for each piano.
Source: Mosimann, "On the compound multinomial distribution", Biometrika 49 (1962).
"""

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from itertools import accumulate
from math import exp, log
from operator import mul

from diagnostics.rules.beta_binomial import beta_binomial_chances, log_choices
from diagnostics.rules.formulas import Formula
from diagnostics.rules.pins import PinSize

FORMULA = Formula(
    "Dirichlet-multinomial counts",
    'Mosimann, "On the compound multinomial distribution", Biometrika 49 (1962).',
)

# What the catalogue's shares weigh, in pins fitted (estimate).
PRIOR_WEIGHT = 20
# The pins of one piano are alike: however many others were repinned, they tell no more about the
# next one than so many of its own pins would (estimate).
MOST_WEIGHT = 60
# Up to so many centres the chance that all sizes suffice is computed; beyond it is bounded.
MOST_EXACT_CENTRES = 500

Weights = Mapping[PinSize, float]
Counts = Mapping[PinSize, int]


@dataclass(frozen=True)
class Demand:
    """Centres of one piano whose sizes are unknown, and what is known of each size's share.

    `weights` are the parameters of the Dirichlet distribution, in pins.
    """

    centres: int
    weights: Weights


@dataclass(frozen=True)
class Kit:
    """Pins to take of each size, and the chance that no size runs out.

    `coverage` is the chance itself when it `is_exact`, else a number that it is not below.
    """

    counts: Counts
    coverage: float
    is_exact: bool


def size_weights(
    shares: Mapping[PinSize, Decimal],
    fitted: Counts,
    *,
    prior_weight: int = PRIOR_WEIGHT,
    most_weight: int = MOST_WEIGHT,
) -> dict[PinSize, float]:
    """Return what is known of each size's share, in pins, thinnest first.

    It is the prior's shares at `prior_weight` pins, and the pins `fitted` so far; scaled down to
    `most_weight` when it comes to more.
    """
    whole = Fraction(sum(shares.values()) or 1)
    weights = {
        size: Fraction(shares.get(size, 0)) * prior_weight / whole + fitted.get(size, 0)
        for size in sorted({*shares, *fitted}, key=lambda size: size.diameter_um)
    }
    scale = min(Fraction(1), most_weight / (sum(weights.values()) or Fraction(1)))
    scaled = {size: weight * scale for size, weight in weights.items() if weight}
    return {size: weight.numerator / weight.denominator for size, weight in scaled.items()}


def pin_kit(demands: Sequence[Demand], confidence: Fraction) -> Kit:
    """Return the kit whose sizes all suffice with at least the chance `confidence`.

    Every size gets the same chance of being enough by itself, the smallest with which all together
    are. One piano's kit is found by the exact chance; one for several pianos, as a van packs, by a
    bound.
    """
    chances = _chances_by_size(demands)
    enough = {size: list(accumulate(chances[size])) for size in chances}

    def counts_at(level: float | Fraction) -> dict[PinSize, int]:
        return {size: bisect_left(enough[size], level) for size in enough}

    # All suffice at most as often as one of them does, and at least as often as Bonferroni says.
    highest = 1 - (1 - confidence) / max(len(enough), 1)
    between = {at for each in enough.values() for at in each if confidence < at < highest}
    levels: list[float | Fraction] = [confidence, *sorted(between), highest]
    found = bisect_left(
        levels[:-1],
        x=True,
        key=lambda level: _coverage(demands, chances, counts_at(level))[0] >= confidence,
    )
    counts = counts_at(levels[found])
    return Kit(counts, *_coverage(demands, chances, counts))


def coverage(demands: Sequence[Demand], counts: Counts) -> tuple[float, bool]:
    """Return the chance that no size is needed more often than `counts` has it, and if it is exact.

    For one piano it is exact up to `MOST_EXACT_CENTRES`. Otherwise it is Bonferroni's lower bound:
    1 less the sum of the chances that each size runs out. Centres of which nothing is known are
    never covered.
    """
    return _coverage(demands, _chances_by_size(demands), counts)


def _coverage(
    demands: Sequence[Demand], chances: Mapping[PinSize, list[float]], counts: Counts
) -> tuple[float, bool]:
    if any(demand.centres and not demand.weights for demand in demands):
        return 0.0, True
    if len(demands) == 1 and demands[0].centres <= MOST_EXACT_CENTRES:
        return _joint_chance(demands[0], counts), True
    short = sum(sum(each[counts.get(size, 0) + 1 :]) for size, each in chances.items())
    return max(0.0, 1.0 - short), not demands


def _chances_by_size(demands: Sequence[Demand]) -> dict[PinSize, list[float]]:
    """Return for each size the chance that 0, 1, 2, ... pins of it are needed in all."""
    chances: dict[PinSize, list[float]] = {}
    for demand in demands:
        total = sum(demand.weights.values())
        for size, weight in demand.weights.items():
            needed = beta_binomial_chances(demand.centres, weight, total)
            earlier = chances.get(size, [1.0])
            chances[size] = _sums(earlier, needed, len(earlier) + demand.centres)
    return dict(sorted(chances.items(), key=lambda item: item[0].diameter_um))


def _joint_chance(demand: Demand, counts: Counts) -> float:
    """Return the exact chance that one piano needs no size more often than `counts` has it.

    The numbers needed are independent negative binomial ones, given that they sum to the centres;
    so the cut-off distributions are added up and compared with the whole at that sum.
    Source: Levin, "A representation for multinomial cumulative distribution functions", Annals of
    Statistics 9 (1981), carried over (from memory).
    """
    centres, total = demand.centres, sum(demand.weights.values())
    if not centres:
        return 1.0
    reached = [1.0]
    for size, weight in demand.weights.items():
        most = min(counts.get(size, 0), centres)
        cut_off = _negative_binomial(most, weight, centres / (centres + total))
        reached = _sums(reached, cut_off, centres + 1)
    whole = _negative_binomial(centres, total, centres / (centres + total))[centres]
    return min(1.0, reached[centres] / whole) if len(reached) > centres else 0.0


def _negative_binomial(most: int, weight: float, chance: float) -> list[float]:
    stopped = weight * log(1 - chance)
    return [
        exp(log_choices(count, weight) + count * log(chance) + stopped) for count in range(most + 1)
    ]


def _sums(one: list[float], other: list[float], length: int) -> list[float]:
    """Return the distribution of the sum of two independent counts, cut off at `length`."""
    backwards = other[::-1]
    last = len(other) - 1
    return [
        sum(map(mul, one[max(0, count - last) : count + 1], backwards[max(0, last - count) :]))
        for count in range(min(length, len(one) + last))
    ]
