"""How much of a part to order at once."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from itertools import pairwise

from shop.rules.quantities import thousandths

# Common practice: felt hardens, glue dries and sizes change, so nothing is bought for longer,
# however little it costs to keep.
MOST_YEARS = Decimal(1)


@dataclass(frozen=True)
class PriceFrom:
    """A price of one pack for whoever buys at least `from_packs`."""

    from_packs: int
    price: Decimal


@dataclass(frozen=True)
class OrderCosts:
    """What ordering a part costs beside its goods, and a year of keeping it of its price.

    The first is in the shop's currency, the second in percent.
    """

    per_order: Decimal
    holding_percent: Decimal


@dataclass(frozen=True)
class PackOrder:
    """Packs to order at once, what each costs then, and the yearly cost of always ordering so.

    `economic_packs` is the economic order quantity at that price before rounding, or what is asked
    for in as long as anything is bought for, if that is less.
    """

    packs: int
    price: Decimal
    yearly_cost: Decimal
    economic_packs: Decimal


def economic_order_quantity(yearly: Decimal, per_order: Decimal, holding: Decimal) -> Decimal:
    """Return sqrt(2 D S / H), unrounded.

    `yearly` are units (D), `per_order` is the cost of one order (S), `holding` that of keeping one
    unit for a year (H).

    Source: Harris, "How many parts to make at once" (1913); Heizer and Render, "Operations
    Management", chapter on inventory.
    """
    return (2 * yearly * per_order / holding).sqrt()


def yearly_cost(packs: int, yearly: Decimal, price: Decimal, costs: OrderCosts) -> Decimal:
    """Return what a year costs in goods, in orders, and in keeping half of `packs` on average.

    `yearly` is in packs, `price` that of one.
    """
    keeping = price * costs.holding_percent / 100
    return yearly * price + yearly / packs * costs.per_order + keeping * packs / 2


def pack_order(
    *,
    yearly: Decimal,
    breaks: Sequence[PriceFrom],
    costs: OrderCosts,
    most_years: Decimal,
) -> PackOrder:
    """Return the number of packs that makes the year cheapest.

    `yearly` is in packs, more than none. Each of `breaks` holds for all packs of an order. Nothing
    above `most_years` of demand is considered, apart from the smallest order.

    Source: economic order quantity with all-units discounts, Nahmias, "Production and Operations
    Analysis", chapter 4 (from memory).
    """
    ordered = sorted(breaks, key=lambda each: each.from_packs)
    longest = thousandths(yearly * most_years)
    most = max(packs_up(longest), ordered[0].from_packs, 1)
    ends = [upper.from_packs for _, upper in pairwise(ordered)]
    return min(
        (
            PackOrder(packs, each.price, yearly_cost(packs, yearly, each.price, costs), economic)
            for each, end in zip(ordered, [*ends, most + 1], strict=True)
            for economic in [_economic(yearly, each.price, costs, longest)]
            for packs in _whole(economic, max(each.from_packs, 1), min(end, most + 1))
        ),
        key=lambda each: (each.yearly_cost, each.packs),
    )


def _economic(yearly: Decimal, price: Decimal, costs: OrderCosts, longest: Decimal) -> Decimal:
    """Return the economic order quantity, which is without end of what costs nothing to keep."""
    keeping = price * costs.holding_percent / 100
    if not keeping:
        return longest
    return min(economic_order_quantity(yearly, costs.per_order, keeping), longest)


def _whole(packs: Decimal, first: int, end: int) -> set[int]:
    """Return the whole numbers next to `packs` that are at least `first` and below `end`."""
    if first >= end:
        return set()
    below = int(packs.to_integral_value(ROUND_FLOOR))
    return {min(max(each, first), end - 1) for each in (below, below + 1)}


def packs_up(packs: Decimal) -> int:
    """Return the whole packs that cover a part of one as well."""
    return int(packs.to_integral_value(ROUND_CEILING))


def price_at(prices: Sequence[PriceFrom], packs: int) -> Decimal:
    """Return what one of so many packs costs; of fewer than are sold, what the smallest order's."""
    ordered = sorted(prices, key=lambda each: each.from_packs)
    reached = [each.price for each in ordered if each.from_packs <= packs]
    return reached[-1] if reached else ordered[0].price
