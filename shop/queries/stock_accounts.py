"""What the stock of a period began with, what came and went, and what it ended with."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import Q, Sum

from shop.models import OUTSIDE_KINDS, Move, Part, PlaceKind, WeeklyFlow
from shop.queries.holdings import parts_held_at
from shop.rules.stock_accounts import NOTHING, Amount, StockAccount
from shop.rules.weeks import beginning, week_of

ONE_WEEK = timedelta(weeks=1)

# A part, the kind of place outside, and whether the amount came from there.
Flow = tuple[int, str, bool]
Flows = dict[Flow, Amount]


@dataclass(frozen=True)
class PartAccount:
    """A part and what became of it in a period."""

    part: Part
    account: StockAccount


def stock_accounts(*, opened_at: datetime, closed_at: datetime) -> list[PartAccount]:
    """Return the accounts by code of the parts that were held or moved.

    A move at `opened_at` belongs to what the period began with, one at `closed_at` to the period.
    Weeks that lie in the period are read as their totals, and moves only of the two weeks at its
    ends, in four statements.
    """
    opening = {part.pk: _held(part) for part in parts_held_at(opened_at)}
    flows = _flows(opened_at, closed_at)
    moved = {part_id for part_id, _, _ in flows}
    return [
        PartAccount(part, _account(part.pk, opening.get(part.pk, NOTHING), flows, _held(part)))
        for part in parts_held_at(closed_at)
        if part.pk in moved or opening.get(part.pk, NOTHING).quantity
    ]


def _held(part: Part) -> Amount:
    # The two columns that `parts_held_at` adds.
    return Amount(part.held_quantity, part.held_value)  # type: ignore[attr-defined]


def _account(part_id: int, opening: Amount, flows: Flows, closing: Amount) -> StockAccount:
    def came(kind: PlaceKind) -> Amount:
        return flows.get((part_id, kind, True), NOTHING)

    def went(kind: PlaceKind) -> Amount:
        return flows.get((part_id, kind, False), NOTHING)

    return StockAccount(
        opening=opening,
        received=came(PlaceKind.SUPPLIER),
        returned=went(PlaceKind.SUPPLIER),
        used=went(PlaceKind.USED) - came(PlaceKind.USED),
        scrapped=went(PlaceKind.SCRAPPED) - came(PlaceKind.SCRAPPED),
        counted=came(PlaceKind.COUNT_DIFFERENCE) - went(PlaceKind.COUNT_DIFFERENCE),
        closing=closing,
    )


def _flows(opened_at: datetime, closed_at: datetime) -> Flows:
    flows: Flows = defaultdict(lambda: NOTHING)
    for flow, amount in (*_of_whole_weeks(opened_at, closed_at), *_of_ends(opened_at, closed_at)):
        flows[flow] += amount
    return dict(flows)


def _of_whole_weeks(opened_at: datetime, closed_at: datetime) -> Iterator[tuple[Flow, Amount]]:
    weeks = WeeklyFlow.objects.filter(
        starts_on__gte=week_of(opened_at) + ONE_WEEK, starts_on__lt=week_of(closed_at)
    )
    sums = weeks.values_list("part", "kind").annotate(
        *(Sum(column) for column in ("in_quantity", "in_value", "out_quantity", "out_value"))
    )
    for part_id, kind, in_quantity, in_value, out_quantity, out_value in sums:
        yield (part_id, kind, True), Amount(in_quantity, in_value)
        yield (part_id, kind, False), Amount(out_quantity, out_value)


def _of_ends(opened_at: datetime, closed_at: datetime) -> Iterator[tuple[Flow, Amount]]:
    outside = Q(from_place__kind__in=OUTSIDE_KINDS) | Q(to_place__kind__in=OUTSIDE_KINDS)
    kinds = ("part", "from_place__kind", "to_place__kind")
    moves = Move.objects.filter(outside, _in_end_weeks(opened_at, closed_at)).order_by()
    sums = moves.values_list(*kinds).annotate(Sum("quantity"), Sum("value"))
    for part_id, from_kind, to_kind, quantity, value in sums:
        came = from_kind in OUTSIDE_KINDS
        yield (part_id, from_kind if came else to_kind, came), Amount(quantity, value)


def _in_end_weeks(opened_at: datetime, closed_at: datetime) -> Q:
    first, last = week_of(opened_at), week_of(closed_at)
    if first == last:
        return Q(moved_at__gt=opened_at, moved_at__lte=closed_at)
    # Each range has both its bounds, so that the index finds it.
    return Q(moved_at__gt=opened_at, moved_at__lt=beginning(first + ONE_WEEK)) | Q(
        moved_at__gte=beginning(last), moved_at__lte=closed_at
    )
