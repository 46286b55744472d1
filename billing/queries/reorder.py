"""The reorder report: where every part stands and what to order."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal

from django.db.models import F, Q, QuerySet, Sum

from billing.models import OPEN_STATUSES, BagLine
from shop.models import Level, Move, Part, PlaceKind
from shop.rules.reorder import PartStanding, Reorder, reorder

ZERO = Decimal(0)


@dataclass(frozen=True)
class ReorderRow:
    """A part, where it stands, and what follows from that."""

    part: Part
    standing: PartStanding
    reorder: Reorder


def reorder_report(*, now: datetime, needed_only: bool = False) -> Iterator[ReorderRow]:
    """Yield a row for each active part, by code; `needed_only` leaves out what need not be ordered.

    Reads levels, a year's uses and the shortages of open quotes: four statements for any number of
    parts.
    """
    on_hand = _by_part(Level.objects.filter(place__kind__in=[PlaceKind.SHELF, PlaceKind.VAN]))
    in_bags = _by_part(Level.objects.filter(place__kind=PlaceKind.BAG))
    year = Q(moved_at__gt=now - timedelta(days=365), to_place__kind=PlaceKind.USED)
    used = _by_part(Move.objects.filter(year))
    short = dict(
        BagLine.objects.filter(quote__status__in=OPEN_STATUSES)
        .values("part")
        .annotate(total=Sum(F("wanted_quantity") - F("taken_quantity")))
        .values_list("part", "total")
    )
    for part in Part.objects.filter(is_active=True).select_related("supplier").order_by("code"):
        standing = PartStanding(
            on_hand=on_hand.get(part.pk, ZERO),
            in_bags=in_bags.get(part.pk, ZERO),
            short=short.get(part.pk, ZERO),
            used_in_year=used.get(part.pk, ZERO),
            lead_time_days=part.lead_time_days,
            pack_quantity=part.pack_quantity,
        )
        row = ReorderRow(part, standing, reorder(standing))
        if row.reorder.suggested_packs or not needed_only:
            yield row


def _by_part(rows: "QuerySet[Level] | QuerySet[Move]") -> dict[int, Decimal]:
    totals = rows.values("part").annotate(total=Sum("quantity")).order_by()
    return dict(totals.values_list("part", "total"))
