"""Re-examinations beside what they follow up, and how often a fault was cured by then."""

from collections import defaultdict
from collections.abc import Iterable

from django.db.models import F, QuerySet

from diagnostics.models import Examination
from diagnostics.queries.looks import looks_of
from diagnostics.rules.comparison import Comparison, Cures, compared, cures
from diagnostics.rules.looks import aligned


def follow_ups() -> QuerySet[Examination]:
    """Return the examinations that follow another, newest first, both with their instrument."""
    rows = Examination.objects.filter(follows__isnull=False)
    return rows.select_related("instrument", "follows__instrument").order_by("-examined_at", "-id")


def comparison_of(follow_up: Examination) -> Comparison:
    """Return what became of each fault since the examination that `follow_up` follows."""
    return _comparisons([follow_up])[0]


def cures_by_treating_the_room() -> dict[tuple[str, str], Cures]:
    """Return what the shop's follow-ups of treated rooms found, by the codes of fault and cause.

    The cause is the one recorded before the room was treated, "" while it was open; a fault with
    several counts under each. What was worked on in between is left out.
    """
    counts: dict[tuple[str, str], Cures] = defaultdict(Cures)
    for comparison in _comparisons(list(follow_ups().filter(room_was_treated=True))):
        for item in comparison.items:
            for cause in item.causes or {""}:
                counts[item.fault, cause] += cures([item])
    return {codes: counted for codes, counted in sorted(counts.items()) if counted.followed}


def _comparisons(rows: list[Examination]) -> list[Comparison]:
    then, now = looks_of([row.follows for row in rows if row.follows]), looks_of(rows)
    worked_on = _worked_on(rows)
    made = []
    for row, *pair in zip(rows, then, now, strict=True):
        before, after = aligned(*pair)
        made.append(compared(before, after, worked_on[row.pk]))
    return made


def _worked_on(rows: Iterable[Examination]) -> dict[int, set[int | None]]:
    """Return the notes worked on between each follow-up and what it follows, by the follow-up."""
    between = Examination.objects.filter(
        pk__in=[row.pk for row in rows],
        instrument__examinations__bench_work__done_at__gt=F("follows__examined_at"),
        instrument__examinations__bench_work__done_at__lte=F("examined_at"),
        # Treating the room is what is compared, and no work on a note.
        instrument__examinations__bench_work__remedy__treats_room=False,
    )
    notes: dict[int, set[int | None]] = defaultdict(set)
    for pk, note_midi in between.values_list(
        "pk", "instrument__examinations__bench_work__note_midi"
    ):
        notes[pk].add(note_midi)
    return notes
