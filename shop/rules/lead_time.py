"""How much a part may be asked for before an order of it arrives."""

import statistics
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import sqrt

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
class LeadTimeDemand:
    """Units asked for until an order placed at the next look would be there."""

    expected: float
    spread: float


def lead_time_demand(
    per_period: float, spread: float, periods: float, periods_spread: float, review: float = 0
) -> LeadTimeDemand:
    """Return the demand of `periods`, which vary by `periods_spread`, and of `review` more.

    `per_period` is the mean demand of a period and `spread` its standard deviation. `review` is the
    time between looks at the stock, 0 when it is watched all the time.

    Source: Heizer and Render, "Operations Management", chapter on inventory, probabilistic models
    (from memory); the review period as in the fixed-period model of the same chapter.
    """
    covered = periods + review
    variance = covered * spread**2 + per_period**2 * periods_spread**2
    return LeadTimeDemand(per_period * covered, sqrt(variance))


def safety_factor(service_level_percent: Decimal) -> float:
    """Return how many standard deviations cover demand in that share of the lead times (z)."""
    return statistics.NormalDist().inv_cdf(float(service_level_percent / 100))
