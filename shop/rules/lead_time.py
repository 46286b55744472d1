"""How much a part may be asked for before an order of it arrives."""

import statistics
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import hypot, sqrt

# Estimates: how many deliveries tell more than what the supplier states, and how far a stated time
# is off.
LEAST_DELIVERIES = 3
STATED_SPREAD = 0.25
# How many standard deviations are between the quartiles of a normal distribution.
QUARTILES_APART = statistics.NormalDist().inv_cdf(0.75) - statistics.NormalDist().inv_cdf(0.25)


@dataclass(frozen=True)
class LeadTime:
    """Days from order to delivery: what they are about, and their standard deviation."""

    days: float
    spread_days: float


def lead_time(
    stated_days: int, quartile_days: Sequence[float] = (), deliveries: int = 0
) -> LeadTime:
    """Return what deliveries took, or what the supplier states as long as there were too few.

    `quartile_days` are the lower quartile, the median and the upper quartile of what they took: the
    median, and the standard deviation of the normal distribution that has these quartiles, so that
    one parcel that went astray does not count for ever.
    """
    if deliveries < LEAST_DELIVERIES:
        return LeadTime(stated_days, STATED_SPREAD * stated_days)
    lower, median, upper = quartile_days
    return LeadTime(median, (upper - lower) / QUARTILES_APART)


@dataclass(frozen=True)
class Demand:
    """Units that may be asked for: as many as are expected, and their standard deviation."""

    expected: float
    spread: float


def lead_time_demand(
    per_period: float, spread: float, periods: float, periods_spread: float
) -> Demand:
    """Return the demand of so many periods, which vary by `periods_spread`.

    `per_period` is the mean demand of a period and `spread` its standard deviation. Periods between
    looks at the stock count like those of delivery where every look brings an order.

    Source: Heizer and Render, "Operations Management", chapter on inventory, probabilistic models
    (from memory).
    """
    variance = periods * spread**2 + per_period**2 * periods_spread**2
    return Demand(per_period * periods, sqrt(variance))


def undershoot(per_period: float, spread: float, review: float) -> Demand:
    """Return how far below its reorder point a part is by the time that it is ordered.

    Between looks, `review` periods apart, half of what is asked for meanwhile; and by half a
    request or more, since it is a request that takes a part below the point: large ones all the
    more. It is taken to vary by as much as it is.

    Source: the mean excess of renewal theory, (variance + mean²) / (2 mean) of what is asked for
    between looks, as in Silver, Pyke and Peterson, "Inventory Management and Production Planning
    and Scheduling", on (R, s, S) systems (from memory).
    """
    if not per_period:
        return Demand(0.0, 0.0)
    below = spread**2 / (2 * per_period) + per_period * review / 2
    return Demand(below, below)


def together(first: Demand, second: Demand) -> Demand:
    """Return the sum of two demands that have nothing to do with each other."""
    return Demand(first.expected + second.expected, hypot(first.spread, second.spread))


def safety_factor(service_level_percent: Decimal) -> float:
    """Return how many standard deviations cover demand in that share of the lead times (z)."""
    return statistics.NormalDist().inv_cdf(float(service_level_percent / 100))


def safety_stock(demand: Demand, factor: float, *, skewed: bool) -> float:
    """Return what covers `demand` beyond what is expected, by a safety factor.

    Demand that comes now and then, or in very unequal sizes, is `skewed`: it is taken to have a
    gamma distribution, other demand a normal one.

    Source: the normal one as above; the gamma distribution for demand in Burgin, "The gamma
    distribution and inventory control", Operational Research Quarterly 26 (1975), its quantile by
    Wilson and Hilferty, "The distribution of chi-square", PNAS 17 (1931).
    """
    if not skewed or not demand.spread:
        return factor * demand.spread
    shape = (demand.expected / demand.spread) ** 2
    root = 1 - 1 / (9 * shape) + factor / (3 * sqrt(shape))
    return demand.expected * (max(root, 0.0) ** 3 - 1)
