"""Extra work on quotes, and what is agreed of a quote with it."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db.models import Prefetch, Q, QuerySet, Sum
from django.utils import timezone

from billing.models import (
    AGREED_CHANGES,
    ChangeStatus,
    LineKind,
    Quote,
    QuoteChange,
    QuoteChangeLine,
    QuoteChangePart,
    QuotedLine,
    QuoteLine,
)
from billing.queries.quotes import agreed, agreed_lines
from diagnostics.rules.estimate import Minutes

NOTHING = Decimal(0)


def made_on(quote: Quote) -> date:
    """Return the day of a quote, whose prices also hold for what is added to it."""
    return timezone.localdate(quote.made_at)


@dataclass(frozen=True)
class AgreedWork:
    """How deep the agreed work gets, what set-up it charges, and what it comes to before tax.

    `approved_net` is what the client agreed to, `tolerated_net` what was done without asking.
    """

    depth: int
    set_up_minutes: Minutes
    approved_net: Decimal
    tolerated_net: Decimal


def agreed_work(quote: Quote) -> AgreedWork:
    """Return what is agreed of a quote by now, with its changes: four statements."""
    lines: list[QuotedLine] = [*agreed_quote_lines(quote), *agreed_change_lines(quote)]
    by_status = quote.changes.values_list("status").annotate(net=Sum("net_total")).order_by()
    nets = dict(by_status)
    depths = [line.remedy.set_up.depth for line in lines if line.remedy]
    return AgreedWork(
        depth=max(depths, default=0),
        set_up_minutes=sum(
            (minutes_quoted(line) for line in lines if line.kind == LineKind.SET_UP), Minutes()
        ),
        approved_net=agreed(quote).net_total + nets.get(ChangeStatus.APPROVED, NOTHING),
        tolerated_net=nets.get(ChangeStatus.TOLERATED, NOTHING),
    )


def agreed_quote_lines(quote: Quote) -> QuerySet[QuoteLine]:
    """Return the firm lines of a quote and those of options taken, with their remedies."""
    return agreed_lines(quote).select_related("remedy__set_up", "part")


def agreed_change_lines(quote: Quote) -> QuerySet[QuoteChangeLine]:
    """Return the lines of a quote's agreed changes with their remedies, in their order."""
    rows = QuoteChangeLine.objects.filter(
        change__quote=quote, change__status__in=AGREED_CHANGES
    ).select_related("remedy__set_up", "part", "change")
    return rows.order_by("change__number", "position")


def is_set_up_charged_since(change: QuoteChange) -> bool:
    """Return whether a change charges for getting further in, and so does one agreed since."""
    set_ups = QuoteChangeLine.objects.filter(kind=LineKind.SET_UP)
    since = Q(change__status=ChangeStatus.TOLERATED, change__made_at__gte=change.made_at) | Q(
        change__status=ChangeStatus.APPROVED, change__decided_at__gte=change.made_at
    )
    others = set_ups.filter(since, change__quote=change.quote_id)
    return set_ups.filter(change=change).exists() and others.exists()


def minutes_quoted(line: QuotedLine) -> Minutes:
    """Return the estimate that a line rests on."""
    return Minutes(line.minutes_low, line.minutes_likely, line.minutes_high)


def changes() -> QuerySet[QuoteChange]:
    """Return the changes of all quotes with all that their answers read, newest first."""
    lines = QuoteChangeLine.objects.select_related("part", "remedy").order_by("position")
    parts = QuoteChangePart.objects.select_related("part").order_by("part__code")
    return (
        QuoteChange.objects.select_related("remedy", "quote__examination__instrument")
        .prefetch_related(Prefetch("lines", lines), "taxes", Prefetch("parts", parts))
        .order_by("-made_at", "-id")
    )
