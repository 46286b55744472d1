"""Where each key of a keyboard lies, in millimetres from its left end and from the fallboard.

The naturals are of one width in front. Behind, each group of naturals between two gaps without a
sharp (C to E, F to B) shares what the sharps leave in equal parts, which is why the sharps of a
real keyboard do not stand on the middle of the line between two naturals.

Source: natural 23.5 mm, octave 164 to 165 mm, sharp 13.7 mm, published in encyclopaedias; keyboards
measured by technicians give a natural of 23.4 to 23.6 mm. No standard governs it. Lengths: common
practice.
"""

from dataclasses import dataclass
from functools import cached_property, lru_cache

from diagnostics.rules.keyboard import SEMITONES_PER_OCTAVE, Compass, is_natural

NATURAL_WIDTH_MM = 23.5
SHARP_WIDTH_MM = 13.7
OCTAVE_MM = 7 * NATURAL_WIDTH_MM
NATURAL_LENGTH_MM = 150.0
SHARP_LENGTH_MM = 95.0

# Semitones above C of each group's keys, from the first natural to the last.
GROUPS = (range(5), range(5, SEMITONES_PER_OCTAVE))


@dataclass(frozen=True)
class Key:
    """One key. `left_mm` to `right_mm` is its front, `tail_left_mm` to `tail_right_mm` its back.

    A sharp is as wide in front as behind.
    """

    midi: int
    is_natural: bool
    left_mm: float
    right_mm: float
    tail_left_mm: float
    tail_right_mm: float

    @property
    def length_mm(self) -> float:
        """How far it reaches from the fallboard towards the player."""
        return NATURAL_LENGTH_MM if self.is_natural else SHARP_LENGTH_MM

    @property
    def middle_mm(self) -> float:
        """The middle of its front."""
        return (self.left_mm + self.right_mm) / 2


@dataclass(frozen=True)
class Geometry:
    """The keys of a compass, side by side."""

    compass: Compass

    @cached_property
    def keys(self) -> dict[int, Key]:
        """Each key by its MIDI number, lowest first; the keyboard's left end is at 0."""
        start = min(_place(midi)[0] for midi in self.compass.notes)
        return {midi: self._key(midi, start) for midi in self.compass.notes}

    @cached_property
    def width_mm(self) -> float:
        """From the left end of the keyboard to the right."""
        return max(key.right_mm for key in self.keys.values())

    def _key(self, midi: int, start: float) -> Key:
        left, right = _place(midi)
        tail_left, tail_right = left, right
        if is_natural(midi):
            # Past the last key there is no sharp to make room for.
            for neighbour in (midi - 1, midi + 1):
                if self.compass.contains(neighbour) and not is_natural(neighbour):
                    sharp_left, sharp_right = _place(neighbour)
                    if neighbour < midi:
                        tail_left = max(left, sharp_right)
                    else:
                        tail_right = min(right, sharp_left)
        edges = (edge - start for edge in (left, right, tail_left, tail_right))
        return Key(midi, is_natural(midi), *edges)


@lru_cache(maxsize=32)
def geometry_of(compass: Compass) -> Geometry:
    """Return the keys of a compass, the same object for the same compass."""
    return Geometry(compass)


def _place(midi: int) -> tuple[float, float]:
    """Return the edges of a key's front, from the left edge of the lowest C there is."""
    octave, semitone = divmod(midi, SEMITONES_PER_OCTAVE)
    group = next(group for group in GROUPS if semitone in group)
    naturals_below = [each for each in range(semitone) if is_natural(each)]
    if is_natural(semitone):
        left = len(naturals_below) * NATURAL_WIDTH_MM
        return octave * OCTAVE_MM + left, octave * OCTAVE_MM + left + NATURAL_WIDTH_MM
    naturals = [each for each in group if is_natural(each)]
    sharps = len(group) - len(naturals)
    tail = (len(naturals) * NATURAL_WIDTH_MM - sharps * SHARP_WIDTH_MM) / len(naturals)
    start = sum(is_natural(each) for each in range(group[0])) * NATURAL_WIDTH_MM
    before = [each for each in group if each < semitone]
    left = start + sum(tail if is_natural(each) else SHARP_WIDTH_MM for each in before)
    return octave * OCTAVE_MM + left, octave * OCTAVE_MM + left + SHARP_WIDTH_MM
