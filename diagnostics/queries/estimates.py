"""How long the work of an examination takes."""

from dataclasses import dataclass, replace

from diagnostics.models import Examination, Remedy
from diagnostics.queries.work import minutes_of, work_of
from diagnostics.rules.bench_minutes import BenchMinutes
from diagnostics.rules.estimate import (
    Minutes,
    RemedyUse,
    SetUp,
    TimeSpan,
    deepest_set_up,
    time_span,
    work_minutes,
)
from shop.models import ShopProfile


@dataclass(frozen=True)
class RemedyEstimate:
    """A remedy's minutes of one time: the catalogue's, the shop's, and those between the two."""

    remedy: Remedy
    use: RemedyUse
    catalogue: Minutes
    bench: BenchMinutes | None
    moved: Minutes


@dataclass(frozen=True)
class Estimate:
    """The minutes of all decided work; `quotes_by_bench_work` says by which of the two figures."""

    examination: Examination
    set_up: SetUp | None
    remedies: list[RemedyEstimate]
    span: TimeSpan
    quotes_by_bench_work: bool
    undecided_count: int


def estimate_of(examination: Examination) -> Estimate:
    """Return the estimate of an examination's work, by the figures that a quote would use."""
    profile = ShopProfile.objects.get()
    work = work_of(examination, {}, own_minutes=True)
    remedies = work.remedies
    rows = [
        RemedyEstimate(
            remedy=remedies[use.remedy_id],
            use=use,
            catalogue=minutes_of(remedies[use.remedy_id]),
            bench=work.bench.get(use.remedy_id),
            moved=use.minutes,
        )
        for use in work.uses
    ]
    used = [
        row.use if profile.quotes_by_bench_work else replace(row.use, minutes=row.catalogue)
        for row in rows
    ]
    return Estimate(
        examination=examination,
        set_up=deepest_set_up(work.uses),
        remedies=rows,
        span=time_span(work_minutes(used)),
        quotes_by_bench_work=profile.quotes_by_bench_work,
        undecided_count=len(work.undecided),
    )
