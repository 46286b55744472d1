"""What has happened to the notes of an instrument."""

from collections.abc import Collection
from dataclasses import dataclass

from django.db.models import Q, QuerySet

from diagnostics.models import BenchWork, Finding
from diagnostics.queries.examinations import bench_work_in_full, findings_in_full
from shop.models import Instrument

MOST_ROWS = 200


@dataclass(frozen=True)
class History:
    """The newest findings and bench work; `is_complete` says that there is no more of either."""

    instrument: Instrument
    findings: list[Finding]
    bench_work: list[BenchWork]
    is_complete: bool


def findings_of_instrument(instrument: Instrument) -> QuerySet[Finding]:
    """Return an instrument's findings over all examinations, newest first."""
    return findings_in_full().filter(examination__instrument=instrument)


def bench_work_of_instrument(instrument: Instrument) -> QuerySet[BenchWork]:
    """Return the bench work done on an instrument, newest first."""
    return bench_work_in_full().filter(examination__instrument=instrument)


def history_of(instrument: Instrument, notes: Collection[int]) -> History:
    """Return what was found and done on `notes` and on the whole instrument, newest first.

    No notes at all stand for every one.
    """
    concerned = Q(note_midi__in=notes) | Q(note_midi__isnull=True) if notes else Q()
    findings = list(findings_of_instrument(instrument).filter(concerned)[: MOST_ROWS + 1])
    bench_work = list(bench_work_of_instrument(instrument).filter(concerned)[: MOST_ROWS + 1])
    return History(
        instrument=instrument,
        findings=findings[:MOST_ROWS],
        bench_work=bench_work[:MOST_ROWS],
        is_complete=max(len(findings), len(bench_work)) <= MOST_ROWS,
    )
