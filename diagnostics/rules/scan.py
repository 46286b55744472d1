"""How likely so many affected notes stand within so few neighbours by chance alone: exactly.

The scan statistic of a row of notes is the most affected ones that any window of a given width
holds. Here it is taken given how many notes of the row are affected, every arrangement of them
being as likely as every other.

Source: J. Naus, "The distribution of the size of the maximum cluster of points on a line", Journal
of the American Statistical Association 60 (1965), 532; J. Glaz, J. Naus, S. Wallenstein, "Scan
Statistics" (2001), for the statistic (both from memory). The numbers are counted here, without an
approximation.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import accumulate
from math import comb

# A window's width and how many affected notes in it are too many.
Limits = tuple[tuple[int, int], ...]


@dataclass(frozen=True)
class Window:
    """The fullest window of a width: `start` is its first place in the row, from 0.

    `probability` is that of some window of this width holding `count` or more.
    """

    width: int
    start: int
    count: int
    probability: Fraction


@dataclass(frozen=True)
class Scan:
    """The fullest window of each width, and what all widths together say.

    `probability` is that of any width showing something as unlikely as the least likely of
    `windows`: it takes account of several widths having been tried, exactly.
    """

    windows: tuple[Window, ...]
    probability: Fraction


def scan(row: Sequence[bool], widths: Sequence[int]) -> Scan:
    """Return the scan statistic of a row of notes, True where affected, over several widths.

    Widths greater than the row are left out.

    Raises:
        ValueError: a width is below 1, or none fits the row.
    """
    length, ones = len(row), sum(row)
    fitting = [width for width in widths if width <= length]
    if not fitting or min(fitting) < 1:
        raise ValueError("A scan needs a width of 1 or more that fits the row.")
    windows = tuple(_fullest(row, width) for width in fitting)
    least = min(window.probability for window in windows)
    limits = tuple((window.width, _rarer(window, length, ones, least)) for window in windows)
    return Scan(windows, scan_probability(length, ones, limits))


def _fullest(row: Sequence[bool], width: int) -> Window:
    counts = window_counts(row, width)
    count = max(counts)
    probability = scan_probability(len(row), sum(row), ((width, count),))
    return Window(width, counts.index(count), count, probability)


def window_counts(row: Sequence[bool], width: int) -> list[int]:
    """Return how many affected notes each window of `width` holds, by its first place."""
    sums = [0, *accumulate(row)]
    return [after - before for before, after in zip(sums, sums[width:], strict=False)]


def _rarer(window: Window, length: int, ones: int, least: Fraction) -> int:
    """Return the count from which this width shows something no likelier than `least`."""
    count, probability = window.count, window.probability
    while probability > least:
        count += 1
        probability = scan_probability(length, ones, ((window.width, count),))
    return count


def scan_probability(length: int, ones: int, limits: Limits) -> Fraction:
    """Return the chance that some window reaches its limit, of `ones` affected in `length` notes.

    `limits` gives by width from how many affected notes on a window counts.
    """
    if any(limit < 1 for _, limit in limits):
        return Fraction(1)
    below = arrangements_below(length, limits)
    return 1 - Fraction(below[ones], comb(length, ones))


@lru_cache(maxsize=1024)
def arrangements_below(length: int, limits: Limits) -> tuple[int, ...]:
    """Return how many arrangements keep every window below its limit, by the number affected.

    It walks along the row and keeps, for each pattern that the last notes can have, the number of
    arrangements that end so. Those with 0, 1, 2, ... affected notes stand in one whole number, as
    its digits to a base that no count reaches, so that one addition serves them all.
    """
    digit = length + 1
    sources = _sources(limits)
    ways = [1] + [0] * len(sources)
    for _ in range(length):
        ways = [(ways[one] + ways[other]) << digit * newest for newest, one, other in sources]
        ways.append(0)
    total, mask = sum(ways), (1 << digit) - 1
    return tuple(total >> digit * ones & mask for ones in range(length + 1))


@lru_cache(maxsize=256)
def _sources(limits: Limits) -> list[tuple[int, int, int]]:
    """Return, for each pattern of the last notes, its newest note and the places it comes from.

    A pattern grows out of the two that had one note or the other before its oldest. Where a window
    would be full, the source is the place after the last pattern, which holds no arrangement.
    """
    oldest = 1 << max(width for width, _ in limits) - 1
    masks = [((1 << width) - 1, limit) for width, limit in limits]

    def is_below(window: int) -> bool:
        return all((window & mask).bit_count() < limit for mask, limit in masks)

    patterns = [pattern for pattern in range(oldest) if is_below(pattern)]
    places = {pattern: place for place, pattern in enumerate(patterns)}

    def source(window: int) -> int:
        return places.get(window >> 1, len(patterns)) if is_below(window) else len(patterns)

    return [(pattern & 1, source(pattern), source(pattern | oldest)) for pattern in patterns]
