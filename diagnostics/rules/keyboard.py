"""The keyboard: which notes an instrument has, which are naturals and sharps, and their pitch.

A note is its MIDI number everywhere: 60 is middle C (C4), 69 is A4, 21 to 108 are the usual 88.
"""

from dataclasses import dataclass
from math import exp2

SEMITONES_PER_OCTAVE = 12
HIGHEST_MIDI = 127
A4_MIDI = 69
# Semitones above C of the notes that stand in the front row.
NATURALS = frozenset({0, 2, 4, 5, 7, 9, 11})


def is_natural(midi: int) -> bool:
    """Return whether the note is a natural (a front-row key) rather than a sharp."""
    return midi % SEMITONES_PER_OCTAVE in NATURALS


def is_sharp(midi: int) -> bool:
    """Return whether the note is a sharp, one of the raised keys."""
    return not is_natural(midi)


def frequency_hz(midi: int, a4_hz: float = 440.0) -> float:
    """Return the note's nominal pitch in hertz, in equal temperament on A4.

    A real piano is tuned stretched: its treble stands above these figures and its bass below, by
    what its own strings ask for. The figures say which note is meant, not where to set it.

    Source: ISO 16:1975 (A4 = 440 Hz); twelve equal semitones to the octave.
    Stretch: O. L. Railsback, Journal of the Acoustical Society of America 9 (1938), 274 (from
    memory).
    """
    return a4_hz * exp2((midi - A4_MIDI) / SEMITONES_PER_OCTAVE)


@dataclass(frozen=True)
class Compass:
    """The notes that a keyboard has, from the lowest to the highest, both included.

    Keys are counted from the compass's own lowest note: key 1 is A0 on 88 notes, C0 on 97.

    Raises:
        ValueError: the lowest note is not below the highest, or one is not a MIDI number.
    """

    lowest_midi: int = 21
    highest_midi: int = 108

    def __post_init__(self) -> None:
        if not 0 <= self.lowest_midi < self.highest_midi <= HIGHEST_MIDI:
            raise ValueError(
                f"A compass runs upwards within MIDI 0 to {HIGHEST_MIDI}, "
                f"not from {self.lowest_midi} to {self.highest_midi}."
            )

    @property
    def notes(self) -> range:
        """The notes, lowest first."""
        return range(self.lowest_midi, self.highest_midi + 1)

    @property
    def naturals(self) -> tuple[int, ...]:
        """The naturals, lowest first."""
        return tuple(filter(is_natural, self.notes))

    @property
    def sharps(self) -> tuple[int, ...]:
        """The sharps, lowest first."""
        return tuple(filter(is_sharp, self.notes))

    def contains(self, midi: int) -> bool:
        """Return whether the keyboard has this note."""
        return midi in self.notes

    def key_number(self, midi: int) -> int:
        """Return the note's place on this keyboard, 1 for the lowest.

        Raises:
            ValueError: the keyboard does not have the note.
        """
        if not self.contains(midi):
            raise ValueError(
                f"MIDI note {midi} is outside {self.lowest_midi} to {self.highest_midi}."
            )
        return midi - self.lowest_midi + 1


# Compasses in use, by how many keys they have.
COMPASSES = {
    85: Compass(21, 105),  # A0 to A7
    88: Compass(21, 108),  # A0 to C8
    92: Compass(17, 108),  # F0 to C8
    97: Compass(12, 108),  # C0 to C8
    102: Compass(12, 113),  # C0 to F8
}


# Every MIDI number: for notes that are named apart from an instrument.
EVERY_NOTE = Compass(0, HIGHEST_MIDI)
