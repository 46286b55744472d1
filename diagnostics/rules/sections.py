"""The sections of a keyboard, and whether one of them is worse than the rest."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from diagnostics.rules.exact_tests import holm, more_inside_probability
from diagnostics.rules.keyboard import is_natural, is_sharp

RARE = Fraction(1, 20)
# Estimates, where the instrument's own breaks are not known: the tenor from C3, the treble from C5.
TENOR_FROM_MIDI = 48
TREBLE_FROM_MIDI = 72
# A break below middle C ends the bass, one above it begins the treble.
MIDDLE_C_MIDI = 60
# How many notes on either side of a break count as its neighbours (an estimate).
BREAK_REACH = 2


class Section(StrEnum):
    """The groups of notes that are compared with the rest of the keyboard."""

    BASS = "bass"
    TENOR = "tenor"
    TREBLE = "treble"
    NATURALS = "naturals"
    SHARPS = "sharps"
    NEAR_BREAK = "near_break"


@dataclass(frozen=True)
class SectionSpread:
    """A section against the rest: the chance of so many affected in it.

    `corrected_probability` takes account of how many sections were looked at.
    """

    section: Section
    examined: int
    affected: int
    probability: Fraction
    corrected_probability: Fraction

    @property
    def stands_out(self) -> bool:
        """Whether the section is affected more than chance would have it."""
        return self.corrected_probability < RARE


def register_of(midi: int, breaks: Collection[int] = ()) -> Section:
    """Return whether a note is bass, tenor or treble.

    `breaks` are the lowest notes above each break in the action. The lowest of them ends the bass
    and the highest begins the treble, where they stand on the right side of middle C.
    """
    tenor_from = min((low for low in breaks if low < MIDDLE_C_MIDI), default=TENOR_FROM_MIDI)
    treble_from = max((low for low in breaks if low > MIDDLE_C_MIDI), default=TREBLE_FROM_MIDI)
    if midi < tenor_from:
        return Section.BASS
    return Section.TENOR if midi < treble_from else Section.TREBLE


def members(section: Section, notes: Sequence[int], breaks: Collection[int]) -> frozenset[int]:
    """Return those of `notes` that belong to the section."""
    match section:
        case Section.NATURALS:
            return frozenset(filter(is_natural, notes))
        case Section.SHARPS:
            return frozenset(filter(is_sharp, notes))
        case Section.NEAR_BREAK:
            near = {midi for low in breaks for midi in range(low - BREAK_REACH, low + BREAK_REACH)}
            return frozenset(notes) & near
        case _:
            return frozenset(midi for midi in notes if register_of(midi, breaks) == section)


def sections_compared(
    notes: Sequence[int], affected: Collection[int], breaks: Collection[int]
) -> tuple[SectionSpread, ...]:
    """Return each section against the rest, those left out that have no rest or no notes."""
    found = []
    for section in Section:
        group = members(section, notes, breaks)
        if 0 < len(group) < len(notes):
            found.append((section, len(group), len(group.intersection(affected))))
    chances = [
        more_inside_probability(inside, size, len(affected), len(notes))
        for _, size, inside in found
    ]
    return tuple(
        SectionSpread(section, size, inside, chance, corrected)
        for (section, size, inside), chance, corrected in zip(
            found, chances, holm(chances), strict=True
        )
    )
