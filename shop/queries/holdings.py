"""What the shop held at any moment, and what that was worth."""

from datetime import date, datetime, timedelta
from decimal import Decimal

from django.db.models import (
    Case,
    DecimalField,
    F,
    OuterRef,
    Q,
    QuerySet,
    Subquery,
    Sum,
    Value,
    When,
)
from django.db.models.expressions import CombinedExpression
from django.db.models.functions import Coalesce

from shop.models import OUTSIDE_KINDS, Move, Part, WeeklyBalance
from shop.queries.parts import NOTHING
from shop.rules.weeks import beginning, week_of

DIRECTION = Case(
    When(from_place__kind__in=OUTSIDE_KINDS, then=Value(1)),
    When(to_place__kind__in=OUTSIDE_KINDS, then=Value(-1)),
)


def parts_held_at(moment: datetime) -> QuerySet[Part]:
    """Return the parts by code with `held_quantity` and `held_value` as they were at `moment`.

    Of each part this reads its last balance of an earlier week, and the moves of the moment's own
    week up to it, however long the ledger is.
    """
    return Part.objects.annotate(
        held_quantity=_at(moment, "quantity"), held_value=_at(moment, "value")
    ).order_by("code")


def _at(moment: datetime, column: str) -> CombinedExpression:
    week = week_of(moment)
    balances = WeeklyBalance.objects.filter(part=OuterRef("pk"), starts_on__lt=week)
    before = balances.order_by("-starts_on").values(column)[:1]
    moves = Move.objects.filter(
        Q(from_place__kind__in=OUTSIDE_KINDS) | Q(to_place__kind__in=OUTSIDE_KINDS),
        part=OuterRef("pk"),
        moved_at__gte=beginning(week),
        moved_at__lte=moment,
    )
    amount = Sum(F(column) * DIRECTION, output_field=DecimalField())
    since = moves.order_by().values("part").annotate(total=amount).values("total")
    return Coalesce(Subquery(before), NOTHING) + Coalesce(Subquery(since), NOTHING)


def held_by_week(part: Part, first_week: date, count: int) -> list[Decimal]:
    """Return what was held of a part at the end of each of so many weeks."""
    weeks = [first_week + timedelta(weeks=number) for number in range(count)]
    balances = WeeklyBalance.objects.filter(part=part).order_by("starts_on")
    known = dict(balances.filter(starts_on__gte=first_week).values_list("starts_on", "quantity"))
    earlier = balances.filter(starts_on__lt=first_week).values_list("quantity", flat=True).last()
    held, found = earlier or Decimal(0), []
    for week in weeks:
        held = known.get(week, held)
        found.append(held)
    return found
