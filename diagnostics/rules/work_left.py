"""What is left to repair once the room was treated: how much of it, and behind which set-up."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import comb

from diagnostics.rules.formulas import Formula

WORK_LEFT = Formula(
    "every number of notes left and every deepest set-up among them, counted exactly, as if any"
    " notes were as likely to be left as any others; of each the mean work",
    "enumeration",
)


@dataclass(frozen=True)
class WaitingWork:
    """A remedy that some notes may no longer need: it is done on each, or once for all of them."""

    remedy_id: int
    depth: int
    notes: frozenset[int]
    is_per_note: bool = True


@dataclass(frozen=True)
class Left:
    """One way in which it may turn out.

    `times` says how often each remedy is done, on average over the notes that may be left.
    """

    chance: Fraction
    notes: int
    times: Mapping[int, Fraction]


def ways_left(waiting: Sequence[WaitingWork], cured_chances: Sequence[float]) -> Iterator[Left]:
    """Yield what may be left, by the number of notes and the depth of the deepest set-up.

    `cured_chances` are those that 0, 1, ... all of the notes that wait are cured.
    """
    depths = _depths(waiting)
    count = len(depths)
    *some_left, none_left = map(Fraction, cured_chances)
    yield Left(none_left, 0, {work.remedy_id: Fraction(0) for work in waiting})
    for left, chance in enumerate(reversed(some_left), start=1):
        before = _Ways(0, {work.remedy_id: 0 for work in waiting})
        for depth in sorted(set(depths.values())):
            reached = frozenset(note for note in depths if depths[note] <= depth)
            ways = _ways_within(reached, left, waiting)
            new = ways.number - before.number
            if new:
                times = {
                    remedy: Fraction(ways.times[remedy] - before.times[remedy], new)
                    for remedy in ways.times
                }
                yield Left(chance * Fraction(new, comb(count, left)), left, times)
            before = ways


def _depths(waiting: Iterable[WaitingWork]) -> dict[int, int]:
    """Return the deepest set-up that each note needs."""
    depths: dict[int, int] = {}
    for work in waiting:
        for note in work.notes:
            depths[note] = max(work.depth, depths.get(note, work.depth))
    return depths


@dataclass(frozen=True)
class _Ways:
    """In how many ways notes can be left, and over all of them how often a remedy is done."""

    number: int
    times: Mapping[int, int]


def _ways_within(notes: frozenset[int], left: int, waiting: Iterable[WaitingWork]) -> _Ways:
    """Return the ways in which `left` notes, all of them among `notes`, can be left."""
    number = comb(len(notes), left)
    times = {}
    for work in waiting:
        affected = len(notes & work.notes)
        if work.is_per_note:
            times[work.remedy_id] = affected * comb(len(notes) - 1, left - 1) if affected else 0
        else:
            times[work.remedy_id] = number - comb(len(notes) - affected, left)
    return _Ways(number, times)
