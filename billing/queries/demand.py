"""What was asked for of each part, week by week: what was used, and what was missed."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

from django.db.models import Case, DateField, F, FloatField, OuterRef, QuerySet, Subquery, Sum, When
from django.db.models.functions import Cast, TruncWeek

from billing.models import BagLine, QuoteStatus
from billing.queries.shortages import missed_lines
from shop.models import Part, PlaceKind, WeeklyBalance, WeeklyFlow
from shop.rules.weeks import WEEK, beginning, week_of

# Two years: enough to see what is asked for rarely, and not what the shop did long ago.
WEEKS = 104


@dataclass(frozen=True)
class Demand:
    """Units asked for in each week, by part and Monday; for statistics, and so in floats."""

    this_week: date
    asked: dict[int, dict[date, float]]

    def weeks_of(self, part_id: int, first_week: date | None) -> list[float]:
        """Return a part's demand in each whole week since its first, of at most `WEEKS`.

        Until its first week is over there is that week alone, as far as it has got; of a part that
        was never there or asked for, there is none.
        """
        asked = self.asked.get(part_id, {})
        known = [week for week in (first_week, min(asked, default=None)) if week is not None]
        if not known:
            return []
        first = max(min(known), self.this_week - WEEKS * WEEK)
        count = max((self.this_week - first) // WEEK, 1)
        return [asked.get(first + number * WEEK, 0.0) for number in range(count)]


def demand(parts: QuerySet[Part], *, now: datetime, chance: Decimal) -> Demand:
    """Return what was asked for of `parts`: two statements that read no move of what was used.

    What the bag of an offered quote lacks counts by `chance`, that of its approval.
    """
    this_week = week_of(now)
    begins = this_week - WEEKS * WEEK
    asked: defaultdict[int, dict[date, float]] = defaultdict(dict)
    for part, week, quantity in _used(parts, begins):
        asked[part][week] = quantity
    for part, moment, quantity in _missed(parts, begins, chance):
        week = moment.date()
        asked[part][week] = asked[part].get(week, 0.0) + quantity
    return Demand(this_week, dict(asked))


def with_first_week(parts: QuerySet[Part]) -> QuerySet[Any]:
    """Return parts with `first_week`, the first in which one was there; null when none ever was."""
    balances = WeeklyBalance.objects.filter(part=OuterRef("pk")).order_by("starts_on")
    first = Subquery(balances.values("starts_on")[:1], output_field=DateField())
    return parts.annotate(first_week=first)


def _used(parts: QuerySet[Part], begins: date) -> QuerySet[WeeklyFlow, tuple[int, date, float]]:
    flows = WeeklyFlow.objects.filter(kind=PlaceKind.USED, starts_on__gte=begins, part__in=parts)
    net = Cast(F("out_quantity") - F("in_quantity"), FloatField())
    return flows.annotate(net=net).values_list("part", "starts_on", "net")


def _missed(
    parts: QuerySet[Part], begins: date, chance: Decimal
) -> QuerySet[BagLine, tuple[int, datetime, float]]:
    lines = missed_lines().filter(part__in=parts, quote__made_at__gte=beginning(begins))
    offered = When(quote__status=QuoteStatus.OFFERED, then=F("lacking") * chance)
    total = Cast(Sum(Case(offered, default=F("lacking"))), FloatField())
    weekly = lines.values("part", week=TruncWeek("quote__made_at", tzinfo=UTC))
    return weekly.annotate(total=total).order_by().values_list("part", "week", "total")
