"""Whether a treated room has settled."""

from typing import Any

from django.db.models import Case, OuterRef, Subquery, When
from django.db.models.functions import Coalesce

from diagnostics.models import RoomReading
from diagnostics.queries.room import humidity_limits


def settled_readings(instrument: str, since: str) -> Any:
    """Return the expression of how many of the newest two readings of a room are in range.

    It is 0 to 2: those before one that is out of range do not count, nor those taken before
    `since`. Both arguments are columns of the row that is annotated.
    """
    limits = humidity_limits()
    in_range = (limits.lowest_percent, limits.highest_percent)
    rows = RoomReading.objects.filter(instrument=OuterRef(instrument), taken_at__gt=OuterRef(since))
    counted = Case(When(humidity_percent__range=in_range, then=1), default=0)
    newest_first = rows.order_by("-taken_at").annotate(counted=counted).values("counted")
    newest, before = Subquery(newest_first[:1]), Subquery(newest_first[1:2])
    return Coalesce(newest * (1 + Coalesce(before, 0)), 0)
