"""Which centre pins to take along."""

from collections.abc import Mapping
from decimal import ROUND_CEILING, Decimal

# One-sided 95 % point of the normal distribution.
Z_95 = Decimal("1.645")


def pin_kit(centres: int, shares: Mapping[str, Decimal]) -> dict[str, int]:
    """Return how many pins of each size to take for `centres` whose size shows at the bench.

    `shares` says by size label how often a centre needs that size. Of each size it takes the
    expected number and 1.645 standard deviations of a binomial count, rounded up, and never more
    than there are centres: each size alone is then enough in about 95 % of jobs, by the normal
    approximation.
    """
    kit = {}
    for label, share in shares.items():
        expected = centres * share
        spread = (expected * (1 - share)).sqrt()
        count = (expected + Z_95 * spread).to_integral_value(ROUND_CEILING)
        kit[label] = min(centres, int(count))
    return {label: count for label, count in kit.items() if count}


def pin_for_worn(measured_um: int, half_size_um: Decimal, stocked_um: Mapping[int, int]) -> int:
    """Return the part whose diameter is nearest to one half size above the pin found.

    `stocked_um` gives diameters in micrometres by part. Going up one half size is common practice;
    it is matched on diameter, since inch and metric sizes share their numbers.

    Raises:
        ValueError: no pin is stocked.
    """
    target = measured_um + half_size_um
    return min(stocked_um, key=lambda part_id: (abs(stocked_um[part_id] - target), part_id))
