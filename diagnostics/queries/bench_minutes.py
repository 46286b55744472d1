"""What the shop's own work took."""

from collections.abc import Iterable

from django.db.models import Count, Q, Sum

from diagnostics.models import BenchWork, ChargedPer, Remedy
from diagnostics.rules.bench_minutes import BenchMinutes

# Work on one note tells the minutes of what is charged by the note, work on the whole instrument
# those of what is charged once; anything else tells neither.
TELLING = Q(remedy__charged_per=ChargedPer.NOTE, note_midi__isnull=False) | Q(
    remedy__charged_per=ChargedPer.INSTRUMENT, note_midi__isnull=True
)


def bench_minutes_of(remedies: Iterable[Remedy]) -> dict[int, BenchMinutes]:
    """Return how often each remedy was done and the minutes of it, by key; none if never."""
    rows = BenchWork.objects.filter(TELLING, remedy__in=list(remedies)).values("remedy")
    totals = rows.annotate(times=Count("pk"), total=Sum("minutes")).order_by()
    return {
        remedy: BenchMinutes(times, total)
        for remedy, times, total in totals.values_list("remedy", "times", "total")
    }
