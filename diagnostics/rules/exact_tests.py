"""Tests of chance on counts: exact probabilities as fractions, and the interval of a share."""

from collections.abc import Sequence
from fractions import Fraction
from itertools import groupby
from math import comb, sqrt
from statistics import NormalDist


def wilson_interval(count: int, total: int, confidence: float = 0.95) -> tuple[float, float]:
    """Return the limits between which the share lies of which `count` of `total` are a sample.

    Source: E. B. Wilson, "Probable inference, the law of succession, and statistical inference",
    Journal of the American Statistical Association 22 (1927), 209.

    Raises:
        ValueError: `count` is not within 0 to `total`, or there is no sample.
    """
    if not 0 <= count <= total or total == 0:
        raise ValueError(f"{count} of {total} is no share.")
    z = NormalDist().inv_cdf((1 + confidence) / 2)
    share, widening = count / total, z * z / total
    middle = (share + widening / 2) / (1 + widening)
    half = z * sqrt(share * (1 - share) / total + widening / (4 * total)) / (1 + widening)
    low = 0.0 if count == 0 else middle - half
    high = 1.0 if count == total else middle + half
    return low, high


def run_lengths(row: Sequence[bool]) -> list[tuple[bool, int]]:
    """Return the runs of equal neighbours: what they are, and how long."""
    return [(value, len(list(run))) for value, run in groupby(row)]


def runs_ways(runs: int, ones: int, zeros: int) -> int:
    """Return in how many arrangements `ones` and `zeros` make exactly so many runs.

    Source: A. Wald and J. Wolfowitz, "On a test whether two samples are from the same population",
    Annals of Mathematical Statistics 11 (1940), 147.
    """
    if not ones or not zeros:
        return int(runs == (1 if ones or zeros else 0))
    fewer, odd = divmod(runs, 2)
    if fewer < 1:
        return 0
    if odd:
        return comb(ones - 1, fewer) * comb(zeros - 1, fewer - 1) + comb(
            ones - 1, fewer - 1
        ) * comb(zeros - 1, fewer)
    return 2 * comb(ones - 1, fewer - 1) * comb(zeros - 1, fewer - 1)


def few_runs_probability(runs: int, ones: int, zeros: int) -> Fraction:
    """Return the chance of at most so many runs: small when like stands beside like."""
    ways = sum(runs_ways(number, ones, zeros) for number in range(runs + 1))
    return Fraction(ways, comb(ones + zeros, ones))


def long_run_probability(longest: int, ones: int, zeros: int) -> Fraction:
    """Return the chance that the longest run of ones is `longest` or more.

    The ones fall into the gaps before, between and after the zeros; inclusion and exclusion counts
    the ways in which no gap takes `longest`.

    Source: W. Feller, "An Introduction to Probability Theory and Its Applications", volume 1,
    chapter II, occupancy (from memory).
    """
    if longest < 1:
        return Fraction(1)
    gaps = zeros + 1
    shorter = sum(
        (-1) ** full * comb(gaps, full) * comb(ones - full * longest + zeros, zeros)
        for full in range(min(gaps, ones // longest) + 1)
    )
    return 1 - Fraction(shorter, comb(ones + zeros, ones))


def more_inside_probability(inside: int, group: int, affected: int, total: int) -> Fraction:
    """Return the chance that a group holds `inside` or more of the affected: Fisher's exact test.

    One-sided: the group has `group` of the `total` notes, of which `affected` are affected.

    Source: R. A. Fisher, "Statistical Methods for Research Workers", section 21.02 (1934).
    """
    ways = sum(
        comb(group, count) * comb(total - group, affected - count)
        for count in range(inside, min(group, affected) + 1)
    )
    return Fraction(ways, comb(total, affected))


def holm(probabilities: Sequence[Fraction]) -> list[Fraction]:
    """Return the probabilities corrected for how many there are, in their order.

    Source: S. Holm, "A simple sequentially rejective multiple test procedure", Scandinavian
    Journal of Statistics 6 (1979), 65.
    """
    corrected = [Fraction(1)] * len(probabilities)
    most = Fraction(0)
    by_size = sorted(range(len(probabilities)), key=lambda index: probabilities[index])
    for rank, index in enumerate(by_size):
        most = max(most, min(Fraction(1), probabilities[index] * (len(probabilities) - rank)))
        corrected[index] = most
    return corrected
