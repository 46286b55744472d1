"""When to order a part again, and how much."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from shop.rules.demand import SKEWED, DemandPattern, demand_pattern
from shop.rules.forecasting import Forecast, forecast
from shop.rules.lead_time import (
    Demand,
    LeadTime,
    lead_time_demand,
    safety_factor,
    safety_stock,
    together,
    undershoot,
)
from shop.rules.order_quantity import (
    MOST_YEARS,
    OrderCosts,
    PackOrder,
    PriceFrom,
    pack_order,
    packs_up,
    price_at,
)
from shop.rules.quantities import rounded_up, thousandths

DAYS_A_WEEK = 7
WEEKS_A_YEAR = Decimal(365) / DAYS_A_WEEK
NOTHING = Decimal(0)


@dataclass(frozen=True)
class Stock:
    """What there is of a part and what is promised of it, in its unit.

    `on_hand` lies on shelves and in vans, `on_order` is awaited from suppliers; `drafted` stands in
    orders that may never be sent, and so does not count. Bags of offered and of approved quotes
    hold what is set aside, and lack what is short.
    """

    on_hand: Decimal = NOTHING
    on_order: Decimal = NOTHING
    drafted: Decimal = NOTHING
    in_offered: Decimal = NOTHING
    in_approved: Decimal = NOTHING
    short_on_offered: Decimal = NOTHING
    short_on_approved: Decimal = NOTHING

    @property
    def in_bags(self) -> Decimal:
        """What is set aside for open quotes."""
        return self.in_offered + self.in_approved

    @property
    def short(self) -> Decimal:
        """What open quotes are short of."""
        return self.short_on_offered + self.short_on_approved


@dataclass(frozen=True)
class Terms:
    """A way to buy a part: how long it takes, what a pack holds, and what packs cost.

    `offer_id` is the supplier's offer, None for what stands with the part itself.
    """

    lead_time: LeadTime
    pack_quantity: Decimal
    prices: Sequence[PriceFrom]
    offer_id: int | None = None


@dataclass(frozen=True)
class Policy:
    """What the shop wants: in which share of the lead times stock must last, looked at how often.

    `approval_chance` is the share of offered quotes that are approved.
    """

    service_level_percent: Decimal
    review_days: int
    costs: OrderCosts
    approval_chance: Decimal


@dataclass(frozen=True)
class Reorder:
    """What to order of a part, and every number on the way, in its unit.

    `terms` are the way to buy it that makes the year cheapest, and `order` the economic number of
    packs, None without demand to reckon with. `at_risk` is the demand that stock must last for:
    that of the lead time, and what the part is below its reorder point when it is ordered.
    `position` is what may be counted on; `packs` is what to order now, at `pack_price`. Of these
    `added_packs` are for the supplier's minimum alone.
    """

    terms: Terms
    position: Decimal
    pattern: DemandPattern
    forecast: Forecast
    lead_time_demand: Demand
    undershoot: Demand
    at_risk: Demand
    safety_factor: float
    safety_stock: Decimal
    reorder_point: Decimal
    order: PackOrder | None
    packs: int
    pack_price: Decimal
    days_of_cover: int | None
    added_packs: int = 0

    @property
    def cost(self) -> Decimal:
        """What the packs to order cost."""
        return self.packs * self.pack_price


def reorder(
    stock: Stock, offers: Sequence[Terms], policy: Policy, demand: Sequence[float], *, whole: bool
) -> Reorder:
    """Return whether to order a part, by which of its `offers`, and how many packs.

    `demand` is what was asked for in each week, the latest last; `whole` says whether the part is
    counted. A part is ordered when its position is below the reorder point, or when more of it is
    promised than will be there; the order brings it up to the reorder point and the economic order
    quantity above it, which makes good for what was asked for since it was crossed.

    Source: reorder point with safety stock, Heizer and Render, "Operations Management", chapter on
    inventory (from memory); up to the sum of both, as in the (s, S) policy of Silver, Pyke and
    Peterson, "Inventory Management and Production Planning and Scheduling" (from memory).
    """
    found = forecast(demand)
    # Nothing is bought for longer than its demand is known.
    most_years = min(len(demand) / WEEKS_A_YEAR, MOST_YEARS)
    terms, order = _cheapest(found.per_week, offers, policy.costs, most_years)
    weekly = (found.per_week, found.error)
    lead = terms.lead_time
    expected = lead_time_demand(*weekly, lead.days / DAYS_A_WEEK, lead.spread_days / DAYS_A_WEEK)
    below = undershoot(*weekly, policy.review_days / DAYS_A_WEEK)
    at_risk = together(expected, below)
    pattern = demand_pattern(demand)
    factor = safety_factor(policy.service_level_percent)
    safety = thousandths(safety_stock(at_risk, factor, skewed=pattern.pattern in SKEWED))
    point = rounded_up(max(thousandths(at_risk.expected) + safety, NOTHING), whole=whole)
    position = stock_position(stock, policy.approval_chance)
    packs = _packs(position, point, order, terms)
    return Reorder(
        terms=terms,
        position=position,
        pattern=pattern,
        forecast=found,
        lead_time_demand=expected,
        undershoot=below,
        at_risk=at_risk,
        safety_factor=factor,
        safety_stock=safety,
        reorder_point=point,
        order=order,
        packs=packs,
        pack_price=price_at(terms.prices, packs),
        days_of_cover=_days_of_cover(position, found.per_week),
    )


def stock_position(stock: Stock, approval_chance: Decimal) -> Decimal:
    """Return what may be counted on: there, awaited or coming back, less what is promised.

    An offered quote takes what it is short of by its chance of approval, and gives back what is in
    its bag by that of refusal.
    """
    returned = (1 - approval_chance) * stock.in_offered
    wanted = approval_chance * stock.short_on_offered
    coming = stock.on_order + returned
    return thousandths(stock.on_hand + coming - wanted - stock.short_on_approved)


def _cheapest(
    per_week: float, offers: Sequence[Terms], costs: OrderCosts, most_years: Decimal
) -> tuple[Terms, PackOrder | None]:
    """Return the offer that makes the year cheapest, with its order; unasked for, its unit."""
    yearly = yearly_demand(per_week)
    if not yearly:
        return min(offers, key=lambda each: price_at(each.prices, 1) / each.pack_quantity), None
    orders = [
        pack_order(
            yearly=yearly / each.pack_quantity,
            breaks=each.prices,
            costs=costs,
            most_years=most_years,
        )
        for each in offers
    ]
    best = min(range(len(offers)), key=lambda index: orders[index].yearly_cost)
    return offers[best], orders[best]


def yearly_demand(per_week: float) -> Decimal:
    """Return the units of a year at so many a week."""
    return thousandths(per_week) * WEEKS_A_YEAR


def with_packs(found: Reorder, packs: int) -> Reorder:
    """Return `found` with more packs than it asked for."""
    price = price_at(found.terms.prices, packs)
    return replace(found, packs=packs, pack_price=price, added_packs=packs - found.packs)


def _packs(position: Decimal, point: Decimal, order: PackOrder | None, terms: Terms) -> int:
    if position >= point:
        return 0
    missing = (point - position) / terms.pack_quantity
    if order is None:
        return max(packs_up(missing), min(each.from_packs for each in terms.prices))
    # Not rounded twice: a large pack that goes above the point is enough.
    return max(packs_up(missing + min(Decimal(order.packs), order.economic_packs)), order.packs)


def _days_of_cover(position: Decimal, per_week: float) -> int | None:
    daily = thousandths(per_week) / DAYS_A_WEEK
    return int(max(position, NOTHING) / daily) if daily else None
