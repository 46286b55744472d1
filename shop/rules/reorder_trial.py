"""Trying the reorder rule on demand that is drawn, beside the rule "order when half empty".

Demand, lead times and the size of a full bin are invented; what they share with a shop is that most
parts are asked for now and then, in sizes that vary.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from functools import partial
from math import exp, fsum, log
from random import Random

from shop.rules.order_quantity import packs_up
from shop.rules.quantities import rounded_up, thousandths
from shop.rules.reorder import DAYS_A_WEEK, Policy, Stock, Terms, reorder

DAYS_A_YEAR = 365
# The first year is run by the bin, whichever rule is tried, so that there is a history.
WARM_UP_DAYS = DAYS_A_YEAR
REMEMBERED_WEEKS = 104
# A full bin lasts so long on average.
BIN_WEEKS = 13


@dataclass(frozen=True)
class TrialPart:
    """A part as the shop keeps it, by its code; `unit_cost` is what a unit cost."""

    code: str
    terms: Terms
    unit_cost: Decimal
    whole: bool


@dataclass(frozen=True)
class Asked:
    """What is asked for of a part on each day, and so much a week on average."""

    by_day: list[Decimal]
    weekly: Decimal


@dataclass
class Shelf:
    """What there is of a part, what jobs wait for, and what comes when."""

    on_hand: Decimal
    owed: Decimal = Decimal(0)
    coming: list[tuple[int, Decimal]] = field(default_factory=list)
    weeks: list[float] = field(default_factory=list)

    @property
    def on_order(self) -> Decimal:
        """What is awaited."""
        return sum((quantity for _, quantity in self.coming), Decimal(0))


@dataclass
class Outcome:
    """What came of a rule: requests, lead times, what lay on the shelf, and what was ordered.

    A request is `met` when all of it was there; a lead time is `lasted` when nothing was owed at
    its end. `value_days` is the value at cost on each day, added up.
    """

    days: int = 0
    requests: int = 0
    met: int = 0
    lead_times: int = 0
    lasted: int = 0
    value_days: Decimal = Decimal(0)
    lines: int = 0
    order_days: set[int] = field(default_factory=set)


# Units to order, by what there is.
Rule = Callable[[Shelf], Decimal]


def asked_for(part: TrialPart, days: int, random: Random) -> Asked:
    """Draw a part's demand: how often it is asked for, and how much of it each time.

    Between one request in eight months and five a week, one in two weeks for the part in the
    middle; on average a fiftieth to a quarter of a pack at a time.
    """
    requests_a_week = min(max(exp(random.gauss(log(0.5), 1)), 0.03), 5)
    share = Decimal(random.uniform(0.02, 0.25))
    size = max(share * part.terms.pack_quantity, Decimal(1 if part.whole else "0.01"))
    chance = requests_a_week / DAYS_A_WEEK
    by_day = [
        _size(size, random, whole=part.whole) if random.random() < chance else Decimal(0)
        for _ in range(days)
    ]
    return Asked(by_day, thousandths(size * Decimal(requests_a_week)))


def _size(mean: Decimal, random: Random, *, whole: bool) -> Decimal:
    """Draw a size: exponential, and at least the least there is."""
    return rounded_up(mean * Decimal(random.expovariate(1)), whole=whole) or Decimal(whole)


def half_empty(full: Decimal, pack: Decimal, shelf: Shelf) -> Decimal:
    """Return what fills a bin again that is half empty or less."""
    position = shelf.on_hand + shelf.on_order - shelf.owed
    if position > full / 2:
        return Decimal(0)
    return packs_up((full - position) / pack) * pack


def by_forecast(part: TrialPart, policy: Policy, shelf: Shelf) -> Decimal:
    """Return what the reorder rule would order."""
    stock = Stock(on_hand=shelf.on_hand, on_order=shelf.on_order, short_on_approved=shelf.owed)
    weeks = shelf.weeks[-REMEMBERED_WEEKS:]
    found = reorder(stock, [part.terms], policy, weeks, whole=part.whole)
    return found.packs * part.terms.pack_quantity


def run(
    part: TrialPart, asked: Asked, rule: Rule | None, review_days: int, random: Random
) -> Outcome:
    """Run a part's shelf through all days and return what came of it after the first year.

    Without a `rule` the bin is kept on with.
    """
    pack = part.terms.pack_quantity
    full = max(packs_up(asked.weekly * BIN_WEEKS / pack), 1) * pack
    keep_bin = partial(half_empty, full, pack)
    shelf, outcome = Shelf(full), Outcome()
    for day, wanted in enumerate(asked.by_day):
        counted = outcome if day >= WARM_UP_DAYS else Outcome()
        _receive(shelf, day, counted)
        _hand_out(shelf, wanted, counted)
        if day % DAYS_A_WEEK == DAYS_A_WEEK - 1:
            shelf.weeks.append(_week(asked.by_day[day - DAYS_A_WEEK + 1 : day + 1]))
        if day % max(review_days, 1) == 0:
            chosen = rule if rule and day >= WARM_UP_DAYS else keep_bin
            _order(shelf, chosen(shelf), day, part, random, counted)
        counted.days += 1
        counted.value_days += shelf.on_hand * part.unit_cost
    return outcome


def _receive(shelf: Shelf, day: int, outcome: Outcome) -> None:
    for arrives, quantity in [each for each in shelf.coming if each[0] <= day]:
        shelf.coming.remove((arrives, quantity))
        outcome.lead_times += 1
        outcome.lasted += not shelf.owed
        handed_on = min(quantity, shelf.owed)
        shelf.owed -= handed_on
        shelf.on_hand += quantity - handed_on


def _hand_out(shelf: Shelf, wanted: Decimal, outcome: Outcome) -> None:
    if not wanted:
        return
    given = min(wanted, shelf.on_hand)
    shelf.on_hand -= given
    shelf.owed += wanted - given
    outcome.requests += 1
    outcome.met += given == wanted


def _week(days: Sequence[Decimal]) -> float:
    return fsum(days)


def _order(
    shelf: Shelf, quantity: Decimal, day: int, part: TrialPart, random: Random, outcome: Outcome
) -> None:
    if not quantity:
        return
    lead_time = part.terms.lead_time
    days = max(round(random.gauss(lead_time.days, lead_time.spread_days)), 1)
    shelf.coming.append((day + days, quantity))
    outcome.lines += 1
    outcome.order_days.add(day)


def added_up(outcomes: Sequence[Outcome]) -> Outcome:
    """Return what came of all parts together; orders of one day are one order."""
    return Outcome(
        days=max(each.days for each in outcomes),
        requests=sum(each.requests for each in outcomes),
        met=sum(each.met for each in outcomes),
        lead_times=sum(each.lead_times for each in outcomes),
        lasted=sum(each.lasted for each in outcomes),
        value_days=sum((each.value_days for each in outcomes), Decimal(0)),
        lines=sum(each.lines for each in outcomes),
        order_days=set().union(*(each.order_days for each in outcomes)),
    )
