"""Examinations, and what was found in them. Everybody in the shop may see them."""

from typing import Any

from django.db.models import Count, Model, OuterRef, QuerySet, Subquery
from django.db.models.functions import Coalesce

from diagnostics.models import BenchWork, CheckResult, Examination, Finding, RoomReading


def examinations_in_full() -> QuerySet[Examination]:
    """Return the examinations, newest first, with how many findings and check results each has."""
    rows = Examination.objects.select_related("instrument__site")
    counted = rows.annotate(findings_count=_count(Finding), check_results_count=_count(CheckResult))
    return counted.order_by("-examined_at", "-id")


def _count(model: type[Model]) -> Any:
    rows = model._default_manager.filter(examination=OuterRef("pk")).order_by()
    counts = rows.values("examination").annotate(rows=Count("pk")).values("rows")
    return Coalesce(Subquery(counts), 0)


def examinations_with_instrument() -> QuerySet[Examination]:
    """Return the examinations with their instruments, for a report on one of them."""
    return Examination.objects.select_related("instrument")


def examinations_locked() -> QuerySet[Examination]:
    """Return the examinations with their instruments, each kept from changing when it is read."""
    rows = Examination.objects.select_for_update(of=("self",), no_key=True)
    return rows.select_related("instrument")


def findings_in_full() -> QuerySet[Finding]:
    """Return the findings, newest first, with what an answer shows of them."""
    rows = Finding.objects.select_related(
        "examination__instrument", "fault", "component", "cause", "remedy"
    )
    return rows.prefetch_related("measurements").order_by("-examination__examined_at", "-id")


def check_results_in_full() -> QuerySet[CheckResult]:
    """Return the results of checks, in the order in which they were recorded."""
    return CheckResult.objects.select_related("examination__instrument", "check_made").order_by(
        "id"
    )


def bench_work_in_full() -> QuerySet[BenchWork]:
    """Return the bench work, newest first, with what was fitted."""
    rows = BenchWork.objects.select_related("examination__instrument", "remedy", "cause_found")
    return rows.prefetch_related("fitted_parts__part").order_by("-done_at", "-id")


def readings() -> QuerySet[RoomReading]:
    """Return the readings of rooms, newest first."""
    return RoomReading.objects.order_by("-taken_at", "-id")
