"""The numbers behind what is said of a spread, each with the chance that it has by itself."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from fractions import Fraction

from diagnostics.rules.exact_tests import (
    few_runs_probability,
    long_run_probability,
    run_lengths,
    wilson_interval,
)
from diagnostics.rules.formulas import Formula
from diagnostics.rules.scan import Scan, scan, scan_probability, window_counts
from diagnostics.rules.sections import RARE, SectionSpread, sections_compared

# Any two, three and five neighbouring naturals lie within 3, 5 and 8 keys; 2 are a pair of keys.
WIDTHS = (2, 3, 5, 8)

FORMULAS = (
    Formula("Wilson interval, 95 %", "Wilson, J. Amer. Statist. Assoc. 22 (1927), 209"),
    Formula("runs test, exact", "Wald and Wolfowitz, Ann. Math. Statist. 11 (1940), 147"),
    Formula(
        "longest run, exact, by inclusion and exclusion",
        "Feller, An Introduction to Probability Theory and Its Applications I, ch. II",
    ),
    Formula(
        "conditional scan statistic over several widths, counted exactly",
        "statistic: Naus, J. Amer. Statist. Assoc. 60 (1965), 532",
    ),
    Formula("Fisher's exact test, one-sided", "Fisher, Statistical Methods (1934), 21.02"),
    Formula("Holm's correction", "Holm, Scand. J. Statist. 6 (1979), 65"),
    Formula("widespread from 10 % of the notes, or 8 over two sections", "estimate"),
)


@dataclass(frozen=True)
class WindowSpread:
    """The fullest window of so many neighbours, and the chance that one of them is as full."""

    width: int
    count: int
    lowest_midi: int
    highest_midi: int
    probability: Fraction


@dataclass(frozen=True)
class SpreadNumbers:
    """The numbers behind a verdict.

    `runs` are stretches of notes alike, affected or not, and `runs_probability` is the chance of so
    few. `longest_run` counts the affected ones. `windows` gives the fullest window of each width;
    `cluster_probability` accounts for all widths having been tried.
    """

    share: Fraction
    share_low: float
    share_high: float
    runs: int
    runs_probability: Fraction
    longest_run: int
    longest_run_probability: Fraction
    windows: tuple[WindowSpread, ...]
    cluster_probability: Fraction
    sections: tuple[SectionSpread, ...]


def numbers_of(
    notes: Sequence[int], affected: Collection[int], breaks: Collection[int]
) -> tuple[SpreadNumbers, tuple[int, ...]]:
    """Return the numbers, and the affected notes that stand closer than chance would have it.

    `notes` are those examined, lowest first, as many as the widest window at least.
    """
    row = [midi in affected for midi in notes]
    scanned = scan(row, WIDTHS)
    total, ones = len(row), sum(row)
    lengths = run_lengths(row)
    longest = max((length for is_affected, length in lengths if is_affected), default=0)
    low, high = wilson_interval(ones, total)
    numbers = SpreadNumbers(
        share=Fraction(ones, total),
        share_low=low,
        share_high=high,
        runs=len(lengths),
        runs_probability=few_runs_probability(len(lengths), ones, total - ones),
        longest_run=longest,
        longest_run_probability=long_run_probability(longest, ones, total - ones),
        windows=_windows(notes, scanned),
        cluster_probability=scanned.probability,
        sections=sections_compared(notes, affected, breaks),
    )
    return numbers, tuple(notes[place] for place in _clustered(row, scanned))


def _windows(notes: Sequence[int], scanned: Scan) -> tuple[WindowSpread, ...]:
    return tuple(
        WindowSpread(
            width=window.width,
            count=window.count,
            lowest_midi=notes[window.start],
            highest_midi=notes[window.start + window.width - 1],
            probability=window.probability,
        )
        for window in scanned.windows
    )


def _clustered(row: Sequence[bool], scanned: Scan) -> list[int]:
    """Return the places of affected notes in windows that are rare, if the scan as a whole is."""
    if scanned.probability >= RARE:
        return []
    places: set[int] = set()
    for window in scanned.windows:
        count = window.count
        while scan_probability(len(row), sum(row), ((window.width, count),)) < RARE:
            count -= 1
        for start, held in enumerate(window_counts(row, window.width)):
            if held > count:
                places.update(range(start, start + window.width))
    return sorted(place for place in places if row[place])
