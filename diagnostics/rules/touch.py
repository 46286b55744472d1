"""What a keyboard feels like: balance and friction of its notes, and which notes are unlike others.

Down weight is the least weight that makes a key go down slowly, up weight the most that it lifts,
in grams at a fixed point at the key's front, with the dampers off.
"""

from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from math import ceil
from statistics import median

from diagnostics.rules.formulas import Formula
from diagnostics.rules.ranges import WHOLE, Range, Standing, judging_range
from diagnostics.rules.sections import register_of
from diagnostics.rules.smoothing import lowess

# With fewer notes there are no neighbours to speak of (an estimate).
FEWEST_MEASURED = 8
# A third of the notes measured are a note's neighbours (an estimate).
NEIGHBOURS_SHARE = 1 / 3
# Weights are read to 1 g, which leaves half a gram open in balance and friction.
RESOLUTION_G = 0.5
# From this many scales a note stands out; the second makes a median of a normal distribution's
# deviations its standard deviation.
OUTSTANDING_SCALES = 3.5
SCALE_OF_MEDIAN = 1.4826

FORMULAS = (
    Formula(
        "balance weight (D + U) / 2, friction (D - U) / 2",
        "a list of college and university technicians",
    ),
    Formula(
        "robust local regression (LOWESS) over a third of the notes",
        "Cleveland, J. Amer. Statist. Assoc. 74 (1979), 829",
    ),
    Formula(
        "stands out: over 3.5 scaled median deviations from the smooth line",
        "Iglewicz and Hoaglin, How to Detect and Handle Outliers (1993), from memory",
    ),
)


class TouchQuantity(StrEnum):
    """What is told of a note, in grams."""

    DOWN_WEIGHT = "down_weight_g"
    UP_WEIGHT = "up_weight_g"
    BALANCE_WEIGHT = "balance_weight_g"
    FRICTION = "touch_friction_g"
    KEY_FRICTION = "key_friction_g"


Values = Mapping[int, Mapping[TouchQuantity, Decimal]]
SMOOTHED = (TouchQuantity.BALANCE_WEIGHT, TouchQuantity.FRICTION, TouchQuantity.KEY_FRICTION)


@dataclass(frozen=True)
class NoteWeights:
    """What was measured of a note: down and up weight, and the friction of the key by itself."""

    midi: int
    down_g: Decimal | None = None
    up_g: Decimal | None = None
    key_friction_g: Decimal | None = None

    @property
    def is_possible(self) -> bool:
        """Whether the key lifts no more than what presses it down."""
        return self.down_g is None or self.up_g is None or self.up_g <= self.down_g


def balance_weight_g(down_g: Decimal, up_g: Decimal) -> Decimal:
    """Return the weight that would balance the note if it had no friction.

    Source: B = (D + U) / 2, a list of college and university technicians.
    """
    return (down_g + up_g) / 2


def friction_g(down_g: Decimal, up_g: Decimal) -> Decimal:
    """Return the friction of the whole note, in grams at the key's front.

    Source: F = (D - U) / 2, a list of college and university technicians.
    """
    return (down_g - up_g) / 2


@dataclass(frozen=True)
class TouchValue:
    """A quantity of a note. `smooth_g` is what its neighbours let expect, None of too few notes.

    `standing` is that to the range with the code `judged_by`.
    """

    quantity: TouchQuantity
    value_g: Decimal
    smooth_g: float | None = None
    stands_out: bool = False
    standing: Standing | None = None
    judged_by: str = ""

    @property
    def is_remarkable(self) -> bool:
        """Whether the value is outside its range, or unlike its neighbours'."""
        return self.stands_out or self.standing in (Standing.LOW, Standing.HIGH)


@dataclass(frozen=True)
class NoteTouch:
    """What is told of one note."""

    midi: int
    values: tuple[TouchValue, ...]


@dataclass(frozen=True)
class Curve:
    """How a quantity runs along the keyboard, smoothed, from the lowest note to the highest.

    A note stands out when it lies over 3.5 times `scale_g` from it.
    """

    quantity: TouchQuantity
    notes: int
    lowest_note_g: float
    highest_note_g: float
    scale_g: float

    @property
    def fall_g(self) -> float:
        """By how much it falls from bass to treble."""
        return self.lowest_note_g - self.highest_note_g


@dataclass(frozen=True)
class Comparison:
    """How many notes lie below, within and above a range."""

    range: Range
    below: int
    within: int
    above: int


@dataclass(frozen=True)
class Touch:
    """The touch of the notes measured, lowest first.

    `impossible` are the notes whose up weight is above their down weight: measured or written down
    wrongly, and told nothing of.
    """

    notes: tuple[NoteTouch, ...]
    curves: tuple[Curve, ...]
    comparisons: tuple[Comparison, ...]
    impossible: tuple[int, ...]
    formulas: tuple[Formula, ...] = FORMULAS


def touch(
    weights: Sequence[NoteWeights], ranges: Sequence[Range], *, breaks: Collection[int] = ()
) -> Touch:
    """Return the touch of the notes measured, judged by `ranges`.

    `breaks` are the lowest notes above each break in the action, if known.

    Raises:
        ValueError: a note comes twice.
    """
    if len({note.midi for note in weights}) < len(weights):
        raise ValueError("Each note is weighed once.")
    values = {
        note.midi: dict(_values(note))
        for note in sorted(weights, key=lambda note: note.midi)
        if note.is_possible
    }
    lines = {quantity: _line(values, quantity) for quantity in SMOOTHED}
    notes = []
    for midi, found in values.items():
        section = register_of(midi, breaks)
        told = [
            _told(
                midi, quantity, value, lines.get(quantity), judging_range(ranges, quantity, section)
            )
            for quantity, value in found.items()
        ]
        notes.append(NoteTouch(midi, tuple(told)))
    return Touch(
        notes=tuple(note for note in notes if note.values),
        curves=tuple(line.curve for line in lines.values() if line),
        comparisons=tuple(_comparisons(values, ranges, breaks)),
        impossible=tuple(sorted(note.midi for note in weights if not note.is_possible)),
    )


def _values(note: NoteWeights) -> Iterator[tuple[TouchQuantity, Decimal]]:
    if note.down_g is not None:
        yield TouchQuantity.DOWN_WEIGHT, note.down_g
    if note.up_g is not None:
        yield TouchQuantity.UP_WEIGHT, note.up_g
    if note.down_g is not None and note.up_g is not None:
        yield TouchQuantity.BALANCE_WEIGHT, balance_weight_g(note.down_g, note.up_g)
        yield TouchQuantity.FRICTION, friction_g(note.down_g, note.up_g)
    if note.key_friction_g is not None:
        yield TouchQuantity.KEY_FRICTION, note.key_friction_g


@dataclass(frozen=True)
class _Line:
    """The smooth line of a quantity, and what each value is above it, by note."""

    curve: Curve
    smooth_g: Mapping[int, float]
    above_g: Mapping[int, float]

    def is_left_by(self, midi: int) -> bool:
        """Return whether the note lies far from the line."""
        return abs(self.above_g[midi]) > OUTSTANDING_SCALES * self.curve.scale_g


def _line(values: Values, quantity: TouchQuantity) -> _Line | None:
    """Return the smooth line of a quantity, None of too few notes."""
    found = {midi: of[quantity] for midi, of in values.items() if quantity in of}
    if len(found) < FEWEST_MEASURED:
        return None
    heights = [float(value) for value in found.values()]
    neighbours = max(FEWEST_MEASURED, ceil(len(found) * NEIGHBOURS_SHARE))
    smooth = lowess(list(found), heights, neighbours, resolution=RESOLUTION_G)
    above = [height - line for height, line in zip(heights, smooth, strict=True)]
    curve = Curve(
        quantity=quantity,
        notes=len(found),
        lowest_note_g=smooth[0],
        highest_note_g=smooth[-1],
        scale_g=max(RESOLUTION_G, SCALE_OF_MEDIAN * median(map(abs, above))),
    )
    return _Line(curve, dict(zip(found, smooth, strict=True)), dict(zip(found, above, strict=True)))


def _told(
    midi: int, quantity: TouchQuantity, value: Decimal, line: _Line | None, judge: Range | None
) -> TouchValue:
    return TouchValue(
        quantity=quantity,
        value_g=value,
        smooth_g=line.smooth_g[midi] if line else None,
        stands_out=line is not None and line.is_left_by(midi),
        standing=judge.standing(value) if judge else None,
        judged_by=judge.code if judge else "",
    )


def _comparisons(
    values: Values, ranges: Sequence[Range], breaks: Collection[int]
) -> Iterator[Comparison]:
    """Return, of each range that there are values for, how many lie in it."""
    for each in ranges:
        standings = Counter(
            each.standing(of[quantity])
            for midi, of in values.items()
            for quantity in of
            if quantity == each.quantity and each.section in (WHOLE, register_of(midi, breaks))
        )
        if standings:
            yield Comparison(
                range=each,
                below=standings[Standing.LOW],
                within=standings[Standing.WITHIN],
                above=standings[Standing.HIGH],
            )
