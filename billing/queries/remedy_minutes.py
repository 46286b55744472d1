"""Quoted against real minutes, remedy by remedy."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db.models import Case, Count, F, OuterRef, QuerySet, Subquery, Sum, Value, When

from billing.models import QuoteLine, QuoteStatus
from billing.queries.quotes import AGREED
from diagnostics.models import BenchWork, ChargedPer, Remedy
from diagnostics.queries.bench_minutes import TELLING, bench_minutes_of
from diagnostics.queries.work import minutes_of
from diagnostics.rules.bench_minutes import BenchMinutes, moved_minutes
from diagnostics.rules.estimate import Minutes


@dataclass(frozen=True)
class Completed:
    """What completed jobs promised and took: how often a remedy was quoted and done, in minutes."""

    jobs: int
    quoted: BenchMinutes
    real: BenchMinutes

    @property
    def real_to_quoted(self) -> Decimal | None:
        """How much longer one time took than quoted: 1.25 is a quarter; None if nothing was."""
        return self.real.mean / self.quoted.mean if self.quoted.minutes else None


@dataclass(frozen=True)
class RemedyMinutes:
    """A remedy's minutes of one time: the catalogue's, the shop's, those between, and the jobs'."""

    remedy: Remedy
    catalogue: Minutes
    bench: BenchMinutes
    moved: Minutes
    completed: Completed | None


def remedy_minutes() -> list[RemedyMinutes]:
    """Return a row for each remedy that the shop has done, by code: three statements."""
    remedies = list(Remedy.objects.filter(bench_work__isnull=False).distinct().order_by("code"))
    bench = bench_minutes_of(remedies)
    completed = _completed()
    return [
        RemedyMinutes(
            remedy=remedy,
            catalogue=minutes_of(remedy),
            bench=bench[remedy.pk],
            moved=moved_minutes(minutes_of(remedy), bench[remedy.pk]),
            completed=completed.get(remedy.pk),
        )
        for remedy in remedies
        if remedy.pk in bench
    ]


def _completed() -> dict[int, Completed]:
    """Return the sums over completed jobs by remedy, of those whose work was recorded."""
    done = QuoteLine.objects.filter(quote__status=QuoteStatus.COMPLETED, remedy__isnull=False)
    lines = done.filter(AGREED)
    told = lines.annotate(
        quoted_times=Case(
            When(remedy__charged_per=ChargedPer.NOTE, then="note_count"), default=Value(1)
        ),
        quoted=(F("minutes_low") + 4 * F("minutes_likely") + F("minutes_high")) / 6,
        real_times=_of_job(Count("pk")),
        real=_of_job(Sum("minutes")),
    ).filter(real__isnull=False)
    sums = told.values("remedy").annotate(
        jobs=Count("pk"),
        all_quoted_times=Sum("quoted_times"),
        all_quoted=Sum("quoted"),
        all_real_times=Sum("real_times"),
        all_real=Sum("real"),
    )
    return {
        row["remedy"]: Completed(
            jobs=row["jobs"],
            quoted=BenchMinutes(row["all_quoted_times"], row["all_quoted"]),
            real=BenchMinutes(row["all_real_times"], row["all_real"]),
        )
        for row in sums.order_by()
    }


def _of_job(total: Any) -> Subquery:
    """Return `total` of the work that the line's job had recorded for its remedy."""
    work: QuerySet[BenchWork] = BenchWork.objects.filter(
        TELLING, bag=OuterRef("quote__bag"), remedy=OuterRef("remedy")
    )
    return Subquery(work.order_by().values("remedy").annotate(total=total).values("total"))
