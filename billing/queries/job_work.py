"""What a job took, beside what was quoted for it."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db.models import Count, QuerySet, Sum

from billing.models import BagLine, LineKind, Quote, QuotedLine
from billing.queries.changes import agreed_change_lines, agreed_quote_lines, minutes_quoted
from billing.rules.job_work import RemedyWork, whole_job
from diagnostics.models import BenchWork, FittedPart
from diagnostics.rules.estimate import Minutes

NOTHING = Decimal(0)


@dataclass(frozen=True)
class PartWork:
    """A part of a job, in its unit: what the bag should hold, what it got, what was fitted."""

    code: str
    name: str
    unit: str
    wanted: Decimal
    taken: Decimal
    fitted: Decimal


@dataclass(frozen=True)
class JobWork:
    """The remedies of a job by code, its set-up, all of them together, and its parts by code."""

    quote: Quote
    set_up: Minutes
    remedies: list[RemedyWork]
    total: RemedyWork
    parts: list[PartWork]


def job_work(quote: Quote) -> JobWork:
    """Return what was quoted, added and done under a quote: five statements."""
    quoted, added = list(agreed_quote_lines(quote)), list(agreed_change_lines(quote))
    lines: list[QuotedLine] = [*quoted, *added]
    set_up = _minutes(lines, None)
    done = _done(quote)
    names = {line.remedy.code: line.remedy.name for line in lines if line.remedy}
    names |= {code: row["remedy__name"] for code, row in done.items()}
    remedies = [
        RemedyWork(
            code=code,
            name=name,
            quoted=_minutes(quoted, code),
            added=_minutes(added, code),
            done_times=done[code]["times"] if code in done else 0,
            real_minutes=done[code]["real"] if code in done else NOTHING,
        )
        for code, name in sorted(names.items())
    ]
    return JobWork(quote, set_up, remedies, whole_job(remedies, set_up), _parts(quote))


def _minutes(lines: Iterable[QuotedLine], code: str | None) -> Minutes:
    """Return the minutes of a remedy's lines; of the set-ups, for no code."""
    found = (
        minutes_quoted(line)
        for line in lines
        if (line.remedy.code == code if line.remedy else line.kind == LineKind.SET_UP and not code)
    )
    return sum(found, Minutes())


def _done(quote: Quote) -> dict[str, dict[str, Any]]:
    work = BenchWork.objects.filter(bag=quote.bag_id).order_by("remedy__code")
    rows: QuerySet[Any, Any] = work.values("remedy__code", "remedy__name").annotate(
        times=Count("pk"), real=Sum("minutes")
    )
    return {row["remedy__code"]: row for row in rows}


def _parts(quote: Quote) -> list[PartWork]:
    fitted = dict(
        FittedPart.objects.filter(bench_work__bag=quote.bag_id)
        .order_by("part")
        .values_list("part")
        .annotate(total=Sum("quantity"))
    )
    lines = BagLine.objects.filter(quote=quote).select_related("part").order_by("part__code")
    return [
        PartWork(
            code=line.part.code,
            name=line.part.name,
            unit=line.part.unit,
            wanted=line.wanted_quantity,
            taken=line.taken_quantity,
            fitted=fitted.get(line.part_id, NOTHING),
        )
        for line in lines
    ]
