from fractions import Fraction
from itertools import combinations
from math import comb

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnostics.rules.scan import arrangements_below, scan, scan_probability, window_counts


def arrangements(length, ones):
    return [
        [place in places for place in range(length)] for places in combinations(range(length), ones)
    ]


def free_probability(most, width, length, p):
    """The chance of a full window when each note is affected with probability `p` by itself."""
    below = arrangements_below(length, ((width, most),))
    q = 1 - p
    return 1 - sum(ways * p**ones * q ** (length - ones) for ones, ways in enumerate(below))


@pytest.mark.parametrize(
    ("most", "length", "probability"),
    [
        # A run of at least `most` heads in `length` tosses of a fair coin. Source: published
        # answers to this problem as fractions, which agree with Feller's recurrence.
        (5, 20, Fraction(32751, 131072)),
        (
            5,
            100,
            Fraction(64183494979494598846972364275, 79228162514264337593543950336),
        ),
        (
            7,
            100,
            Fraction(6289139215543317778531752497, 19807040628566084398385987584),
        ),
    ],
)
def test_runs_of_heads_have_the_published_chances(most, length, probability):
    assert free_probability(most, most, length, Fraction(1, 2)) == probability


@pytest.mark.parametrize(
    ("most", "width", "length", "p", "probability"),
    [
        # J. Naus, "Approximations for distributions of scan statistics", Journal of the American
        # Statistical Association 77 (1982), 177: 1 - Q2 (Q3 / Q2) ** (N / m - 2), worked out; it
        # comes within 1e-5 here.
        (3, 10, 90, Fraction(1, 50), 0.01943227),
        (3, 5, 90, Fraction(1, 20), 0.05270906),
        (4, 10, 60, Fraction(1, 10), 0.17298501),
        (5, 10, 100, Fraction(1, 10), 0.05423758),
    ],
)
def test_the_chance_lies_where_the_published_approximation_has_it(
    most, width, length, p, probability
):
    assert float(free_probability(most, width, length, p)) == pytest.approx(probability, abs=1.1e-5)


@pytest.mark.parametrize(
    ("most", "width", "length", "p", "probability"),
    [
        # Counted over all arrangements by an independent program.
        (3, 5, 15, Fraction(1, 10), 0.0492953),
        (4, 6, 14, Fraction(1, 4), 0.1515468),
        (2, 4, 16, Fraction(1, 20), 0.0863254),
        (5, 8, 16, Fraction(1, 3), 0.2667316),
    ],
)
def test_the_chance_is_what_counting_all_arrangements_gave(most, width, length, p, probability):
    assert free_probability(most, width, length, p) == pytest.approx(probability, abs=5e-8)


def test_two_of_three_side_by_side_have_the_chance_of_the_gaps_formula():
    # 1 - C(8, 3) / C(10, 3): no two of 3 stand side by side among 10.
    # Source: I. Kaplansky, "Solution of the problème des ménages", Bulletin of the American
    # Mathematical Society 49 (1943), 784, lemma.
    assert scan_probability(10, 3, ((2, 2),)) == 1 - Fraction(comb(8, 3), comb(10, 3))


@pytest.mark.parametrize("limits", [((3, 2),), ((4, 3),), ((2, 2), (5, 3)), ((1, 1),), ((6, 7),)])
@pytest.mark.parametrize("length", [6, 9, 11])
def test_arrangements_are_as_many_as_counting_them_gives(length, limits):
    for ones in range(length + 1):
        rows = arrangements(length, ones)
        below = [
            all(max(window_counts(row, width)) < limit for width, limit in limits) for row in rows
        ]
        assert arrangements_below(length, limits)[ones] == sum(below)


@pytest.mark.parametrize("ones", range(9))
def test_several_widths_together_have_the_chance_that_counting_gives(ones):
    widths = (2, 3, 5)
    rows = arrangements(8, ones)
    fullest = [[max(window_counts(row, width)) for width in widths] for row in rows]
    least = [
        min(
            Fraction(sum(other[place] >= count for other in fullest), len(rows))
            for place, count in enumerate(counts)
        )
        for counts in fullest
    ]
    for row, own in zip(rows, least, strict=True):
        expected = Fraction(sum(other <= own for other in least), len(rows))
        assert scan(row, widths).probability == expected


@given(st.lists(st.booleans(), min_size=2, max_size=60))
def test_a_scan_reads_the_same_from_both_ends(row):
    there, back = scan(row, (2, 4)), scan(row[::-1], (2, 4))
    assert there.probability == back.probability
    assert [window.count for window in there.windows] == [window.count for window in back.windows]
    for window in there.windows:
        assert sum(row[window.start : window.start + window.width]) == window.count


@given(st.lists(st.booleans(), min_size=8, max_size=40))
def test_trying_several_widths_makes_nothing_likelier_to_be_called_rare(row):
    found = scan(row, (2, 3, 5, 8))
    alone = [window.probability for window in found.windows]
    assert min(alone) <= found.probability <= len(alone) * min(alone)


@pytest.mark.parametrize("widths", [(), (9,), (0, 2)])
def test_a_scan_refuses_widths_that_say_nothing(widths):
    with pytest.raises(ValueError, match="width"):
        scan([True] * 8, widths)


def test_widths_greater_than_the_row_are_left_out():
    assert [window.width for window in scan([True, False, False], (2, 5)).windows] == [2]
