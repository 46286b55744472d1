"""Why the reorder report says what it says: each number with the formula that gives it."""

from dataclasses import dataclass
from decimal import Decimal

from shop.rules.demand import INTERVAL_LIMIT, SKEWED, VARIATION_LIMIT
from shop.rules.forecasting import Method
from shop.rules.quantities import plain
from shop.rules.reorder import DAYS_A_WEEK, Policy, Reorder, Stock, Terms, yearly_demand


@dataclass(frozen=True)
class Reason:
    """A number of the report by its name there, and the sum that gives it.

    Some tell what the shop pays.
    """

    number: str
    formula: str
    tells_cost: bool = False


def reasons(stock: Stock, policy: Policy, weeks: int, found: Reorder) -> list[Reason]:
    """Return how `found` came about, from `weeks` of demand to packs."""
    return [
        Reason("demand_pattern", _pattern(found, weeks)),
        Reason("forecast_per_week", _forecast(found, weeks)),
        *_reorder_point(found.terms, policy, found),
        Reason("position", _position(stock, policy, found)),
        *_quantities(found.terms, policy, found),
    ]


def _short(number: float | Decimal) -> str:
    return f"{number:.2f}"


METHOD_WORDS = {
    Method.MEAN: "mean",
    Method.EXPONENTIAL_SMOOTHING: "exponential smoothing",
    Method.CROSTON: "Croston's method",
    Method.SYNTETOS_BOYLAN: "Syntetos and Boylan's approximation",
}


def _pattern(found: Reorder, weeks: int) -> str:
    pattern = found.pattern
    if not pattern.mean_interval:
        return f"nothing was asked for in {weeks} weeks"
    return (
        f"asked for every {_short(pattern.mean_interval)} weeks (ADI; from {INTERVAL_LIMIT} on"
        f" intermittent or lumpy), in sizes that vary by {_short(pattern.squared_variation)}"
        f" (CV²; from {VARIATION_LIMIT} on erratic or lumpy)"
    )


def _forecast(found: Reorder, weeks: int) -> str:
    made = found.forecast
    if not made.errors:
        return f"{METHOD_WORDS[made.method]} of {weeks} weeks, too few to compare methods"
    errors = ", ".join(
        f"{METHOD_WORDS[name]} {_short(error)}" for name, error in made.errors.items()
    )
    return (
        f"{METHOD_WORDS[made.method]}, which missed the last {made.tested_weeks} of {weeks} weeks"
        f" by least (root mean square a week: {errors})"
    )


def _reorder_point(terms: Terms, policy: Policy, found: Reorder) -> list[Reason]:
    weekly, error = _short(found.forecast.per_week), _short(found.forecast.error)
    lead = f"{terms.lead_time.days:.3g} / {DAYS_A_WEEK}"
    late = f"{terms.lead_time.spread_days:.3g} / {DAYS_A_WEEK}"
    expected, below = found.lead_time_demand, found.undershoot
    level, factor = plain(policy.service_level_percent), f"{found.safety_factor:.3f}"
    return [
        Reason("lead_time_demand", f"{weekly} × {lead} = {_short(expected.expected)}"),
        Reason(
            "lead_time_demand_spread",
            f"√({lead} × {error}² + {weekly}² × ({late})²) = {_short(expected.spread)}",
        ),
        Reason("undershoot", _undershoot(weekly, error, policy, found)),
        Reason("safety_factor", f"z({level} %) = {factor}"),
        Reason(
            "safety_stock",
            _safety_stock(
                f"√({_short(expected.spread)}² + {_short(below.spread)}²)", factor, found
            ),
        ),
        Reason(
            "reorder_point",
            f"{_short(expected.expected)} + {_short(below.expected)} + {plain(found.safety_stock)},"
            f" rounded up = {plain(found.reorder_point)}",
        ),
    ]


def _undershoot(weekly: str, error: str, policy: Policy, found: Reorder) -> str:
    if not found.undershoot.expected:
        return "nothing is asked for"
    return (
        f"{error}² / (2 × {weekly}) + {weekly} × {policy.review_days} / {2 * DAYS_A_WEEK} ="
        f" {_short(found.undershoot.expected)}, by which a part is below its reorder point when it"
        " is ordered"
    )


def _safety_stock(spread: str, factor: str, found: Reorder) -> str:
    safety = plain(found.safety_stock)
    if found.pattern.pattern not in SKEWED:
        return f"{factor} × {spread} = {safety}"
    return (
        f"m × ((1 - 1 / (9 k) + {factor} / (3 √k))³ - 1) = {safety}, of a gamma distribution with"
        f" the mean m = {_short(found.at_risk.expected)} and k = m² / {spread}²"
    )


def _position(stock: Stock, policy: Policy, found: Reorder) -> str:
    chance = plain(policy.approval_chance)
    return (
        f"{plain(stock.on_hand)} on hand + {plain(stock.on_order)} on order"
        f" + (1 - {chance}) × {plain(stock.in_offered)} in bags of offered quotes"
        f" - {chance} × {plain(stock.short_on_offered)} they are short of"
        f" - {plain(stock.short_on_approved)} that approved quotes are short of"
        f" = {plain(found.position)}"
    )


def _quantities(terms: Terms, policy: Policy, found: Reorder) -> list[Reason]:
    pack, order = plain(terms.pack_quantity), found.order
    told = []
    if order:
        yearly = yearly_demand(found.forecast.per_week) / terms.pack_quantity
        costs = policy.costs
        told = [
            Reason("days_of_cover", f"{plain(found.position)} / {_daily(found)} a day"),
            Reason(
                "economic_packs",
                f"√(2 × {_short(yearly)} packs a year × {plain(costs.per_order)} an order /"
                f" ({plain(costs.holding_percent)} % of {plain(order.price)})), but for no longer"
                f" than demand is known and a year at most = {_short(order.economic_packs)}, in"
                f" whole packs by the year's cost = {order.packs}",
                tells_cost=True,
            ),
        ]
    return [*told, Reason("suggested_packs", _packs(pack, found))]


def _daily(found: Reorder) -> str:
    return f"{found.forecast.per_week / DAYS_A_WEEK:.3f}"


def _packs(pack: str, found: Reorder) -> str:
    position, point = plain(found.position), plain(found.reorder_point)
    added = f"; {found.added_packs} packs more for the supplier's minimum order"
    added = added if found.added_packs else ""
    if found.packs == found.added_packs:
        return f"{position} is not below the reorder point {point}{added}"
    return (
        f"{position} is below the reorder point {point}: from there up to it and the economic order"
        f" above it, in packs of {pack}{added}"
    )
