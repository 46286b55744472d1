"""Where the faults of an examination stand on the keyboard, family by family."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from diagnostics.models import Examination, FaultFamily, Finding
from diagnostics.queries.instruments import compass_of
from diagnostics.rules.spread import Spread, spread

# The pedals are no matter of single notes.
FAMILIES = tuple(family for family in FaultFamily if family != FaultFamily.PEDAL)

# A family of faults, and the note that one is on; None stands for the whole instrument.
Found = tuple[str, int | None]


@dataclass(frozen=True)
class FamilySpread:
    """The spread of a family of faults; one found `on_the_whole` stands on every note."""

    family: FaultFamily
    on_the_whole: bool
    spread: Spread


@dataclass(frozen=True)
class ExaminationSpread:
    """The notes examined, and the spread of each family of faults that was found."""

    examination: Examination
    notes: tuple[int, ...]
    families: tuple[FamilySpread, ...]


def spread_of_examination(examination: Examination) -> ExaminationSpread:
    """Return the spread of the faults found, in one query beside the examination's own."""
    found = Finding.objects.filter(examination=examination)
    return spread_of_findings(examination, found.values_list("fault__family", "note_midi"))


def spread_of_findings(examination: Examination, found: Iterable[Found]) -> ExaminationSpread:
    """Return the spread of faults over the notes examined, without a query.

    A note with a finding was examined, whether or not the examination says so.
    """
    by_family: dict[str, set[int | None]] = defaultdict(set)
    for family, note in found:
        by_family[family].add(note)
    named = {note for notes in by_family.values() for note in notes if note is not None}
    compass = compass_of(examination.instrument)
    examined = tuple(sorted(named.union(examination.notes_examined or compass.notes)))
    families = []
    for family in FAMILIES:
        if family not in by_family:
            continue
        notes = by_family[family]
        on_the_whole = None in notes
        affected = examined if on_the_whole else tuple(note for note in notes if note is not None)
        found_spread = spread(examined, affected, breaks=examination.instrument.breaks_midi)
        families.append(FamilySpread(family, on_the_whole, found_spread))
    return ExaminationSpread(examination, examined, tuple(families))
