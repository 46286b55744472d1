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
from shop.models import Part, WeeklyBalance, WeeklyUse
from shop.rules.weeks import (
    FIRST_MONDAY,
    WEEKS_TOGETHER,
    monday_of,
    week_number,
    week_of,
    year_of,
)

# Two years: enough to see what is asked for rarely, and not what the shop did long ago.
WEEKS = 104


class Asked(NamedTuple):
    """Quantities of one part in weeks by their numbers, in no order."""

    weeks: list[int]
    quantities: list[float]


class Used(NamedTuple):
    """Thousandths of one part's unit in each of the weeks from the one of that number on."""

    week: int
    thousandths: list[int]


class Weeks(NamedTuple):
    """What was asked for of one part in each week from `first_week` on."""

    first_week: date
    demand: list[float]


@dataclass(frozen=True)
class Demand:
    """Units used, and asked for without being there, by part; for statistics, and so in floats."""

    this_week: int
    used: dict[int, list[Used]]
    missed: dict[int, list[Asked]]

    def weeks_of(self, part_id: int, first_week: date | None) -> Weeks:
        """Return a part's demand in each whole week since its first, of at most `WEEKS`.

        Until its first week is over there is that week alone, as far as it has got; of a part that
        was never there or asked for, there is none.
        """
        missed = self.missed.get(part_id, [])
        known = [min(each.weeks) for each in missed]
        if first_week is not None:
            known.append(week_number(first_week))
        if not known:
            return Weeks(monday_of(self.this_week), [])
        first = min(max(min(known), self.this_week - WEEKS), self.this_week)
        demand = self._used(part_id, first)
        for each in missed:
            for week, quantity in zip(each.weeks, each.quantities, strict=True):
                demand[week - first] += quantity
        return Weeks(monday_of(first), demand[:-1] or demand)

    def _used(self, part_id: int, first: int) -> list[float]:
        """Return what was used in each week from the first to this one."""
        used = [0.0] * (self.this_week - first + 1)
        for week, thousandths in self.used.get(part_id, []):
            begin, end = max(week, first), min(week + WEEKS_TOGETHER, self.this_week + 1)
            if begin < end:
                shown = thousandths[begin - week : end - week]
                used[begin - first : end - first] = [each / 1000 for each in shown]
        return used


def demand(*, now: datetime, chance: Decimal, part_id: int | None = None) -> Demand:
    """Return what was asked for: three statements, none of which reads the ledger.

    With `part_id` it is of that part alone. What the bag of an offered quote lacks counts by
    `chance`, that of its approval.
    """
    this_week = week_of(now)
    first_week = this_week - timedelta(weeks=WEEKS)
    shown = {"week__range": (first_week, this_week)}
    only = {} if part_id is None else {"part": part_id}
    used: defaultdict[int, list[Used]] = defaultdict(list)
    years = WeeklyUse.objects.filter(starts_on__range=(year_of(first_week), this_week), **only)
    for part, starts_on, thousandths in years.values_list("part", "starts_on", "thousandths"):
        used[part].append(Used(week_number(starts_on), thousandths))
    missed: defaultdict[int, list[Asked]] = defaultdict(list)
    for rows in (_missed(), _lacking(chance)):
        for part, weeks, quantities in _series(rows.filter(**shown, **only)):
            missed[part].append(Asked(weeks, quantities))
    return Demand(week_number(this_week), used, missed)


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


def _missed() -> QuerySet[Any]:
    return WeeklyShortage.objects.annotate(week=F("starts_on"), asked=F("quantity"))


def _lacking(chance: Decimal) -> QuerySet[Any]:
    offered = When(quote__status=QuoteStatus.OFFERED, then=F("lacking") * chance)
    week = Cast(TruncWeek("quote__made_at", tzinfo=UTC), DateField())
    lines = open_lines().filter(lacking__gt=0)
    weekly: QuerySet[Any] = lines.annotate(week=week, asked=Case(offered, default=F("lacking")))
    return weekly
