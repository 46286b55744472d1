"""Follow-ups: which are due, and what became of them."""

from datetime import date
from enum import StrEnum

from django.db.models import Case, CharField, OuterRef, QuerySet, Subquery, Value, When

from billing.models import FollowUp, QuoteStatus
from diagnostics.models import Examination
from diagnostics.queries.settled_room import settled_readings

DROPPED = [
    QuoteStatus.DECLINED,
    QuoteStatus.WITHDRAWN,
    QuoteStatus.EXPIRED,
    QuoteStatus.SUPERSEDED,
]


class FollowUpState(StrEnum):
    """Where a follow-up stands."""

    DUE = "due"
    OVERDUE = "overdue"
    DONE = "done"
    DROPPED = "dropped"


def follow_ups(today: date) -> QuerySet[FollowUp]:
    """Return the follow-ups, the first due first, each with its state on a day.

    `done_by` is the examination that did it, `settled_readings` how many of the newest two readings
    of the room since the quote are in range.
    """
    later = Examination.objects.filter(
        follows=OuterRef("quote__examination"), examined_at__gt=OuterRef("quote__made_at")
    ).order_by("examined_at", "id")
    rows = FollowUp.objects.select_related("quote__client", "quote__examination__instrument")
    told = rows.annotate(
        done_by=Subquery(later.values("pk")[:1]),
        settled_readings=settled_readings("quote__examination__instrument", "quote__made_at"),
    )
    state = Case(
        When(done_by__isnull=False, then=Value(FollowUpState.DONE)),
        When(quote__status__in=DROPPED, then=Value(FollowUpState.DROPPED)),
        When(due_on__lt=today, then=Value(FollowUpState.OVERDUE)),
        default=Value(FollowUpState.DUE),
        output_field=CharField(),
    )
    return told.annotate(state=state).order_by("due_on", "id")
