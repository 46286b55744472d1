"""Where on the keyboard a fault stands: on single notes, in a cluster, in a section, everywhere.

The chances say how likely what is seen would be if every note examined were as likely to be
affected as every other. They are exact.
"""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from diagnostics.rules.formulas import Formula
from diagnostics.rules.keyboard import EVERY_NOTE, HIGHEST_MIDI, SEMITONES_PER_OCTAVE
from diagnostics.rules.note_names import notes_text
from diagnostics.rules.sections import Section, SectionSpread, members, register_of
from diagnostics.rules.spread_numbers import FORMULAS, SpreadNumbers, numbers_of

# With fewer notes not even the fewest runs possible are rare: P(2 runs of 4 + 3 notes) is 2/35.
FEWEST_EXAMINED = 8
# Estimates, no published threshold: a fault on so large a share of the notes, or on so many of
# them over two sections, is widespread; on fewer than three notes it never is.
WIDESPREAD_SHARE = Fraction(1, 10)
WIDESPREAD_NOTES = 8
FEWEST_WIDESPREAD = 3
# More affected notes than this are no longer called a cluster if a section describes them.
MOST_IN_CLUSTER = SEMITONES_PER_OCTAVE


class SpreadKind(StrEnum):
    """What the spread amounts to, in one word."""

    TOO_FEW = "too_few"
    NONE = "none"
    ISOLATED = "isolated"
    CLUSTER = "cluster"
    NATURALS = "naturals"
    SHARPS = "sharps"
    SECTION = "section"
    EVERYWHERE = "everywhere"


SECTION_WORDS = {
    Section.BASS: "the bass",
    Section.TENOR: "the tenor",
    Section.TREBLE: "the treble",
    Section.NEAR_BREAK: "the notes beside a break in the action",
}
ROWS = {Section.NATURALS: SpreadKind.NATURALS, Section.SHARPS: SpreadKind.SHARPS}


@dataclass(frozen=True)
class Spread:
    """Where a fault stands. Notes are MIDI numbers, lowest first.

    `cluster_notes` are the affected notes that stand closer than chance would have it, whatever the
    verdict; `section` is the one that a verdict names. `is_widespread` says that the fault is on so
    many notes that a cause common to them all comes first, whatever the verdict. Of too few notes
    there are no `numbers`.
    """

    kind: SpreadKind
    sentence: str
    examined: tuple[int, ...]
    affected: tuple[int, ...]
    breaks: tuple[int, ...] = ()
    section: Section | None = None
    cluster_notes: tuple[int, ...] = ()
    is_widespread: bool = False
    numbers: SpreadNumbers | None = None
    formulas: tuple[Formula, ...] = FORMULAS

    @property
    def examined_count(self) -> int:
        """How many notes were examined."""
        return len(self.examined)

    @property
    def affected_count(self) -> int:
        """How many of them are affected."""
        return len(self.affected)


def spread(
    examined: Sequence[int], affected: Collection[int], *, breaks: Collection[int] = ()
) -> Spread:
    """Return where the affected notes stand among the examined ones, as MIDI numbers.

    Neighbours are neighbours among the notes examined. `breaks` are the lowest notes above each
    break in the action, if known.

    Raises:
        ValueError: a note is not a MIDI number, or is affected without having been examined.
    """
    notes, bad = tuple(sorted(set(examined))), tuple(sorted(set(affected)))
    _refuse_unknown(notes, bad)
    if len(notes) < FEWEST_EXAMINED:
        return Spread(SpreadKind.TOO_FEW, _too_few(len(notes)), notes, bad, formulas=())
    numbers, cluster = numbers_of(notes, frozenset(bad), breaks)
    verdict = _Verdict(notes, bad, tuple(sorted(set(breaks))), numbers.sections, cluster)
    kind, section = verdict.kind()
    return Spread(
        kind=kind,
        sentence=verdict.sentence(kind, section),
        examined=notes,
        affected=bad,
        breaks=verdict.breaks,
        section=section,
        cluster_notes=cluster,
        is_widespread=verdict.is_widespread(),
        numbers=numbers,
    )


def _refuse_unknown(notes: Iterable[int], affected: Iterable[int]) -> None:
    strangers = [midi for midi in notes if not 0 <= midi <= HIGHEST_MIDI]
    if strangers:
        raise ValueError(f"{strangers[0]} is not a MIDI number from 0 to {HIGHEST_MIDI}.")
    missing = sorted(set(affected).difference(notes))
    if missing:
        raise ValueError(f"MIDI note {missing[0]} is affected, but was not examined.")


def _too_few(count: int) -> str:
    return f"{count} {'note' if count == 1 else 'notes'} examined: too few to speak of spread"


@dataclass(frozen=True)
class _Verdict:
    """What the numbers amount to: the narrowest description that leaves nothing widespread out."""

    notes: tuple[int, ...]
    affected: tuple[int, ...]
    breaks: tuple[int, ...]
    sections: tuple[SectionSpread, ...]
    cluster: tuple[int, ...]

    def kind(self) -> tuple[SpreadKind, Section | None]:
        """Return the verdict, and the section that it names."""
        if not self.affected:
            return SpreadKind.NONE, None
        is_clustered = bool(self.cluster) and not self._widespread_outside(self.cluster)
        if is_clustered and len(self.cluster) <= MOST_IN_CLUSTER:
            return SpreadKind.CLUSTER, None
        section = self._section()
        if section:
            return ROWS.get(section, SpreadKind.SECTION), section
        if is_clustered:
            return SpreadKind.CLUSTER, None
        if self.is_widespread():
            return SpreadKind.EVERYWHERE, None
        return SpreadKind.ISOLATED, None

    def is_widespread(self) -> bool:
        """Return whether the fault is widespread on the notes examined."""
        return self._widespread_outside(())

    def _section(self) -> Section | None:
        """Return the section that stands out most, if little is affected outside it."""
        standing_out = [found for found in self.sections if found.stands_out]
        for found in sorted(standing_out, key=lambda found: found.probability):
            inside = members(found.section, self.notes, self.breaks)
            if not self._widespread_outside(inside):
                return found.section
        return None

    def _widespread_outside(self, inside: Collection[int]) -> bool:
        """Return whether the fault is widespread on the notes that are not `inside`."""
        affected = set(self.affected).difference(inside)
        total = len(set(self.notes).difference(inside))
        if len(affected) < FEWEST_WIDESPREAD:
            return False
        registers = {register_of(midi, self.breaks) for midi in affected}
        is_large = len(affected) >= WIDESPREAD_SHARE * total
        return is_large or (len(affected) >= WIDESPREAD_NOTES and len(registers) > 1)

    def sentence(self, kind: SpreadKind, section: Section | None) -> str:
        """Return the verdict in words."""
        count = f"{len(self.affected)} of {len(self.notes)} notes"
        match kind:
            case SpreadKind.NONE:
                return f"None of {len(self.notes)} notes"
            case SpreadKind.ISOLATED:
                return f"{count}, isolated: {_names(self.affected)}"
            case SpreadKind.CLUSTER:
                return f"{count}, a cluster at {_names(self.cluster)}{self._row_of_all()}"
            case SpreadKind.EVERYWHERE:
                return f"{count}, everywhere"
        return f"{count}, {self._where(next(s for s in self.sections if s.section == section))}"

    def _row_of_all(self) -> str:
        """Return, of a cluster, that it is all of one row of keys."""
        for row in ROWS:
            if len(members(row, self.cluster, ())) == len(self.cluster):
                return f", {row} only"
        return ""

    def _where(self, found: SectionSpread) -> str:
        elsewhere = len(self.affected) - found.affected
        if found.section in ROWS and not elsewhere:
            return f"{found.section} only"
        where = SECTION_WORDS.get(found.section, f"the {found.section}")
        rest = len(self.notes) - found.examined
        return (
            f"mostly {where}: {found.affected} of {found.examined} there, "
            f"{elsewhere} of {rest} elsewhere"
        )


def _names(notes: Sequence[int]) -> str:
    return notes_text(notes, EVERY_NOTE)
