from collections import defaultdict
from fractions import Fraction
from itertools import combinations
from math import comb, prod

import pytest

from diagnostics.rules.work_left import WaitingWork, ways_left

EASE, REPIN, SPACE = 1, 2, 3


def rising(weight, count):
    return prod((weight + step for step in range(count)), start=Fraction(1))


def cured_chances(notes, a, b):
    """Beta-binomial chances in exact fractions."""
    return [
        comb(notes, count)
        * rising(Fraction(a), count)
        * rising(Fraction(b), notes - count)
        / rising(Fraction(a) + b, notes)
        for count in range(notes + 1)
    ]


def work(remedy, depth, *notes, is_per_note=True):
    return WaitingWork(remedy, depth, frozenset(notes), is_per_note)


def by_brute_force(waiting, chances):
    """The chance of each number left and deepest set-up, and the mean work then: every subset."""
    notes = sorted({note for each in waiting for note in each.notes})
    found = defaultdict(list)
    for count in range(len(notes) + 1):
        chance = chances[len(notes) - count] / comb(len(notes), count)
        for left in map(set, combinations(notes, count)):
            needed = [each for each in waiting if each.notes & left]
            times = {
                each.remedy_id: len(each.notes & left) if each.is_per_note else 1 for each in needed
            }
            deepest = max((each.depth for each in needed), default=None)
            found[count, deepest].append((chance, times))
    return [
        (
            sum(chance for chance, _ in ways),
            count,
            {
                each.remedy_id: sum(chance * times.get(each.remedy_id, 0) for chance, times in ways)
                / sum(chance for chance, _ in ways)
                for each in waiting
            },
        )
        for (count, _), ways in sorted(found.items(), key=lambda item: item[0][:2])
    ]


# Brute force over every set of notes that may be left, in exact fractions.
@pytest.mark.parametrize(
    "waiting",
    [
        [work(REPIN, 3, 60, 61, 62, 63)],
        [work(EASE, 2, 60, 61), work(REPIN, 3, 62, 63, 64)],
        [work(EASE, 2, 60, 61, 62), work(REPIN, 3, 62), work(SPACE, 1, 60, 70)],
        [work(EASE, 2, 60, 61, 62), work(SPACE, 2, 61, 62, 63, 64, 65)],
        [work(SPACE, 1, 60, 61, 62, is_per_note=False), work(REPIN, 3, 62, 63)],
        [work(SPACE, 3, 60, is_per_note=False), work(EASE, 2, 60, 61, is_per_note=False)],
    ],
)
@pytest.mark.parametrize(("a", "b"), [(3, 2), (Fraction(1, 2), 7)])
def test_every_way_in_which_notes_may_be_left_is_counted(waiting, a, b):
    notes = {note for each in waiting for note in each.notes}
    chances = cured_chances(len(notes), a, b)
    found = [(each.chance, each.notes, dict(each.times)) for each in ways_left(waiting, chances)]
    assert found == by_brute_force(waiting, chances)
    assert sum(chance for chance, *_ in found) == 1


def test_as_much_is_left_on_average_as_the_rate_says():
    # The mean of a beta-binomial is n a / (a + b): Skellam (1948).
    waiting = [work(EASE, 2, *range(20)), work(REPIN, 3, *range(20, 30))]
    left = list(ways_left(waiting, cured_chances(30, 3, 2)))
    assert sum(each.chance * each.notes for each in left) == 30 * Fraction(2, 5)
    assert sum(each.chance * each.times[REPIN] for each in left) == 10 * Fraction(2, 5)
