"""What examinations found, in the plain values that pictures and comparisons read."""

from collections.abc import Sequence

from django.db.models import F
from django.utils import timezone

from diagnostics.models import Examination, Fault, Finding
from diagnostics.queries.instruments import compass_of
from diagnostics.rules.keyboard_words import Faults
from diagnostics.rules.looks import Found, Look, aligned
from shop.models import Instrument

# A history is drawn from the newest examinations, this many at most.
MOST_LOOKS = 40


def fault_letters() -> Faults:
    """Return the letter and the name of each fault by its code, in the catalogue's order."""
    rows = Fault.objects.order_by("code").values_list("code", "letter", "name")
    return {code: (letter, name) for code, letter, name in rows}


def looks_of(examinations: Sequence[Examination]) -> list[Look]:
    """Return what each of these examinations found; their instruments are loaded with them."""
    found: dict[int, list[Found]] = {examination.pk: [] for examination in examinations}
    rows = Finding.objects.filter(examination__in=found).order_by(
        F("note_midi").asc(nulls_last=True), "fault__code", "id"
    )
    columns = rows.values_list(
        *("examination_id", "note_midi", "fault__code", "severity"),
        *("component__code", "component__name", "cause__code"),
    )
    for examination_id, note_midi, fault, severity, *names in columns:
        named = [name or "" for name in names]
        found[examination_id].append(Found(note_midi, fault, severity, *named))
    return [
        Look(
            compass=compass_of(examination.instrument),
            examined_on=timezone.localdate(examination.examined_at),
            found=tuple(found[examination.pk]),
            notes_examined=frozenset(examination.notes_examined),
        )
        for examination in examinations
    ]


def look_of(examination: Examination) -> Look:
    """Return what one examination found."""
    return aligned(*looks_of([examination]))[0]


def looks_at(instrument: Instrument) -> list[Look]:
    """Return what the instrument's newest examinations found, the oldest of them first."""
    rows = instrument.examinations.select_related("instrument").order_by("-examined_at", "-id")
    newest = list(rows[:MOST_LOOKS])
    return aligned(*looks_of(newest[::-1]))
