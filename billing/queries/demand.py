"""What was asked for of each part, week by week: what was used, and what was missed."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Any, NamedTuple

from django.contrib.postgres.aggregates import ArrayAgg
from django.db.models import (
    Case,
    DateField,
    F,
    FloatField,
    Func,
    IntegerField,
    OuterRef,
    QuerySet,
    Subquery,
    When,
)
from django.db.models.functions import Cast, TruncWeek

from billing.models import QuoteStatus, WeeklyShortage
from billing.queries.shortages import open_lines
from shop.models import Part, PlaceKind, WeeklyBalance, WeeklyFlow
from shop.rules.weeks import FIRST_MONDAY, monday_of, week_number, week_of

# Two years: enough to see what is asked for rarely, and not what the shop did long ago.
WEEKS = 104


class Asked(NamedTuple):
    """Quantities of one part in weeks by their numbers, in no order."""

    weeks: list[int]
    quantities: list[float]


class Weeks(NamedTuple):
    """What was asked for of one part in each week from `first_week` on."""

    first_week: date
    demand: list[float]


@dataclass(frozen=True)
class Demand:
    """Units asked for in each week by part; for statistics, and so in floats."""

    this_week: int
    asked: dict[int, list[Asked]]

    def weeks_of(self, part_id: int, first_week: date | None) -> Weeks:
        """Return a part's demand in each whole week since its first, of at most `WEEKS`.

        Until its first week is over there is that week alone, as far as it has got; of a part that
        was never there or asked for, there is none.
        """
        asked = self.asked.get(part_id, [])
        known = [min(each.weeks) for each in asked]
        if first_week is not None:
            known.append(week_number(first_week))
        if not known:
            return Weeks(monday_of(self.this_week), [])
        first = min(max(min(known), self.this_week - WEEKS), self.this_week)
        demand = [0.0] * (self.this_week - first + 1)
        for each in asked:
            for week, quantity in zip(each.weeks, each.quantities, strict=True):
                demand[week - first] += quantity
        return Weeks(monday_of(first), demand[:-1] or demand)


def demand(*, now: datetime, chance: Decimal, part_id: int | None = None) -> Demand:
    """Return what was asked for: three statements, none of which reads the ledger.

    With `part_id` it is of that part alone. What the bag of an offered quote lacks counts by
    `chance`, that of its approval.
    """
    this_week = week_of(now)
    shown = {"week__range": (this_week - timedelta(weeks=WEEKS), this_week)}
    asked: defaultdict[int, list[Asked]] = defaultdict(list)
    only = {} if part_id is None else {"part": part_id}
    for rows in (_used(), _missed(), _lacking(chance)):
        for part, weeks, quantities in _series(rows.filter(**shown, **only)):
            asked[part].append(Asked(weeks, quantities))
    return Demand(week_number(this_week), dict(asked))


def with_first_week(parts: QuerySet[Part]) -> QuerySet[Any]:
    """Return parts with `first_week`, the first in which one was there; null when none ever was."""
    balances = WeeklyBalance.objects.filter(part=OuterRef("pk")).order_by("starts_on")
    first = Subquery(balances.values("starts_on")[:1], output_field=DateField())
    return parts.annotate(first_week=first)


class WeekNumber(Func):
    """The number of the week whose Monday is given."""

    template = f"((%(expressions)s - DATE '{FIRST_MONDAY}') / 7)"
    output_field = IntegerField()


def _series(rows: QuerySet[Any]) -> Iterable[tuple[int, Any, Any]]:
    """Return by part the numbers of the weeks and the quantities, as two lists of one order."""
    lists = rows.order_by().values("part")
    weeks = ArrayAgg(WeekNumber("week"))
    quantities = ArrayAgg(Cast("asked", FloatField()))
    found = lists.annotate(weeks=weeks, quantities=quantities)
    yield from found.values_list("part", "weeks", "quantities")


def _used() -> QuerySet[Any]:
    # Each is cast before they are subtracted: numeric sums cost more than all the rest.
    out, back = (Cast(name, FloatField()) for name in ("out_quantity", "in_quantity"))
    flows = WeeklyFlow.objects.filter(kind=PlaceKind.USED)
    return flows.annotate(week=F("starts_on"), asked=out - back)


def _missed() -> QuerySet[Any]:
    return WeeklyShortage.objects.annotate(week=F("starts_on"), asked=F("quantity"))


def _lacking(chance: Decimal) -> QuerySet[Any]:
    offered = When(quote__status=QuoteStatus.OFFERED, then=F("lacking") * chance)
    week = Cast(TruncWeek("quote__made_at", tzinfo=UTC), DateField())
    lines = open_lines().filter(lacking__gt=0)
    weekly: QuerySet[Any] = lines.annotate(week=week, asked=Case(offered, default=F("lacking")))
    return weekly
