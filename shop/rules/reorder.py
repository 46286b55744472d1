"""When to order a part again, and how much."""

from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

DAYS_A_MONTH = Decimal(365) / 12
# One-sided 95 % point of the normal distribution.
Z_95 = Decimal("1.645")


@dataclass(frozen=True)
class PartStanding:
    """Where a part stands, in its unit.

    `on_hand` lies on shelves and in vans, `in_bags` is set aside, `short` is missing from open
    quotes' bags, and `used_in_year` was used in the last 365 days.
    """

    on_hand: Decimal
    in_bags: Decimal
    short: Decimal
    used_in_year: Decimal
    lead_time_days: int
    pack_quantity: Decimal


@dataclass(frozen=True)
class Reorder:
    """What follows: usage and reorder point in the part's unit, and how many packs to order."""

    usage_per_month: Decimal
    reorder_point: Decimal
    suggested_packs: int


def reorder(standing: PartStanding) -> Reorder:
    """Return whether a part should be ordered, and how much.

    The reorder point covers what the lead time uses, and 1.645 standard deviations more: demand is
    taken as a Poisson count, whose variance is its mean, so that one lead time in twenty runs
    short.
    What is left after the shortages of open quotes is held against it; an order brings that up to
    the reorder point and one month's usage, in whole packs.

    Source: reorder point with safety stock, Heizer and Render, "Operations Management", chapter on
    inventory (from memory); the Poisson assumption is an estimate.
    """
    per_month = standing.used_in_year / 12
    in_lead_time = per_month * standing.lead_time_days / DAYS_A_MONTH
    point = _ceiling(in_lead_time + Z_95 * in_lead_time.sqrt())
    left = standing.on_hand - standing.short
    packs = 0
    if left < point or standing.short:
        packs = int(
            _ceiling(max(point + per_month - left, standing.short) / standing.pack_quantity)
        )
    return Reorder(per_month.quantize(Decimal("0.001")), point, packs)


def _ceiling(amount: Decimal) -> Decimal:
    return Decimal(int(amount.to_integral_value(ROUND_CEILING)))
