"""What a part's demand looks like, week by week."""

import statistics
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import fsum

# Source: Syntetos, Boylan and Croston, "On the categorization of demand patterns", Journal of the
# Operational Research Society 56 (2005), 495-503.
INTERVAL_LIMIT = 1.32
VARIATION_LIMIT = 0.49


class Pattern(StrEnum):
    """How demand comes: how often, and how evenly sized."""

    NONE = "none"
    SMOOTH = "smooth"
    INTERMITTENT = "intermittent"
    ERRATIC = "erratic"
    LUMPY = "lumpy"


# Demand of these is zero in most weeks, or once in a while very large.
SKEWED = frozenset({Pattern.INTERMITTENT, Pattern.ERRATIC, Pattern.LUMPY})


@dataclass(frozen=True)
class DemandPattern:
    """The pattern, with the two numbers that name it.

    `mean_interval` is the number of weeks to each week with demand (ADI), `squared_variation` the
    squared coefficient of variation of the sizes in those weeks (CV²).
    """

    pattern: Pattern
    mean_interval: float
    squared_variation: float


def demand_pattern(demand: Sequence[float]) -> DemandPattern:
    """Return the pattern of `demand`, in units a week, by ADI and CV².

    The variance is that of a sample; a single size does not vary.

    Source: Syntetos, Boylan and Croston (2005), as above.
    """
    sizes = [quantity for quantity in demand if quantity]
    if not sizes:
        return DemandPattern(Pattern.NONE, 0.0, 0.0)
    interval = len(demand) / len(sizes)
    variation = 0.0
    if len(sizes) > 1:
        # The module's own variance is exact and slow; that matters over thousands of parts.
        mean = statistics.fmean(sizes)
        squares = fsum([(size - mean) ** 2 for size in sizes])
        variation = squares / (len(sizes) - 1) / mean**2
    return DemandPattern(_named(interval, variation), interval, variation)


def _named(interval: float, variation: float) -> Pattern:
    if interval < INTERVAL_LIMIT:
        return Pattern.SMOOTH if variation < VARIATION_LIMIT else Pattern.ERRATIC
    return Pattern.INTERMITTENT if variation < VARIATION_LIMIT else Pattern.LUMPY
