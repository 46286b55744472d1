from decimal import Decimal
from fractions import Fraction
from itertools import combinations
from math import comb, sqrt

import pytest
from scipy.optimize import brentq
from scipy.stats import betabinom, norm

from billing.rules.plans import Job, Piece, SetUpPiece, Tariff, plan_now, plans

# Invented costs: mean and variance of one time, in money.
KEYS_OUT = SetUpPiece(2, Piece("keys out", Fraction(15), Fraction(9)))
ACTION_OUT = SetUpPiece(3, Piece("action out", Fraction(20), Fraction(16)))
NO_SET_UP = SetUpPiece(0, Piece("none", Fraction(0)))
TREATMENT = Job(9, Piece("treat the room", Fraction(43), Fraction(4)), NO_SET_UP, frozenset({0}))
TARIFF = Tariff(travel=Fraction(25), minimum=Fraction(30))


def job(remedy, set_up, mean, variance, now=(), waiting=(), **options):
    piece = Piece(f"remedy {remedy}", Fraction(mean), Fraction(variance))
    return Job(remedy, piece, set_up, frozenset(now), frozenset(waiting), **options)


def by_brute_force(jobs, chances):
    """Mean cost, its distribution, and the chance to be cheaper: every set of notes left."""
    everything = visit({each: len(each.now | each.waiting) for each in jobs})
    first = visit({TREATMENT: 1} | {each: len(each.now) for each in jobs})
    notes = sorted(set().union(*(each.waiting for each in jobs)))
    bells, cheaper = [], 0.0
    for count in range(len(notes) + 1):
        chance = chances[len(notes) - count] / comb(len(notes), count)
        for left in map(set, combinations(notes, count)):
            second = visit({each: len(each.waiting & left) for each in jobs})
            both = merged(first, second, 1)
            bells.append((chance, *moments(both)))
            mean, variance = moments(merged(both, everything, -1))
            cheaper += chance * norm.cdf(0, mean, sqrt(variance))
    return bells, cheaper


def visit(times):
    done = {each: number for each, number in times.items() if number}
    bill = {each.piece: number for each, number in done.items()} | {"travel": 1}
    if done:
        bill[max((each.set_up for each in done), key=lambda set_up: set_up.depth).piece] = 1
    return bill if moments(bill)[0] >= TARIFF.minimum else {"least": 1}


def merged(one, other, factor):
    pieces = [*one, *(piece for piece in other if piece not in one)]
    return {piece: one.get(piece, 0) + factor * other.get(piece, 0) for piece in pieces}


def moments(bill):
    certain = {"travel": float(TARIFF.travel), "least": float(TARIFF.minimum)}
    mean = sum(number * float(certain.get(p) or p.mean) for p, number in bill.items() if number)
    variance = sum(n**2 * float(p.variance) for p, n in bill.items() if p not in certain)
    return mean, variance


def quantile(bells, share):
    def missing(amount):
        return sum(p * norm.cdf(amount, mean, sqrt(var)) for p, mean, var in bells) - share

    return brentq(missing, 0, 1000)


# Every set of notes left, with scipy's normal distribution. Where all notes that wait need the same
# work nothing is averaged, so that both agree to the last digit.
@pytest.mark.parametrize(
    "jobs",
    [
        [job(1, ACTION_OUT, 4, 1, waiting=range(6))],
        [job(1, ACTION_OUT, 4, 1, now=[20], waiting=range(3)), job(2, KEYS_OUT, 2, 1, now=[21])],
        [job(1, ACTION_OUT, 4, 1, waiting=range(3)), job(2, KEYS_OUT, 2, 1, waiting=range(3))],
    ],
)
def test_cost_range_and_chance_are_those_of_every_set_of_notes_left(jobs):
    waiting = len(set().union(*(each.waiting for each in jobs)))
    chances = list(betabinom(waiting, 3, 2).pmf(range(waiting + 1)))
    bells, cheaper = by_brute_force(jobs, chances)
    found = plans(jobs, [TREATMENT], TARIFF, chances)

    mean = sum(chance * mean for chance, mean, _ in bells)
    assert float(found.room_first.expected) == pytest.approx(mean, abs=1e-9)
    assert found.room_first_is_cheaper == pytest.approx(cheaper, abs=1e-9)
    for share in (0.1, 0.5, 0.9):
        exact = quantile(bells, share)
        assert 0 <= float(found.room_first.quantile(share, 2)) - exact < 0.0101


# Every set of notes left again: the mean is exact, the range within half a percent.
@pytest.mark.parametrize(
    "jobs",
    [
        [
            job(1, ACTION_OUT, 4, 1, waiting=range(4)),
            job(2, ACTION_OUT, 9, 2, waiting=range(4, 7)),
        ],
        [
            job(1, ACTION_OUT, 4, 1, waiting=range(3)),
            job(2, KEYS_OUT, 2, 1, now=[21], waiting=range(7, 11)),
        ],
    ],
)
def test_mixed_work_that_is_left_is_taken_at_its_mean(jobs):
    chances = list(betabinom(7, 3, 2).pmf(range(8)))
    bells, cheaper = by_brute_force(jobs, chances)
    found = plans(jobs, [TREATMENT], TARIFF, chances)
    mean = sum(chance * mean for chance, mean, _ in bells)
    assert float(found.room_first.expected) == pytest.approx(mean, abs=1e-9)
    assert found.room_first_is_cheaper == pytest.approx(cheaper, abs=0.01)
    for share in (0.1, 0.9):
        exact = quantile(bells, share)
        assert float(found.room_first.quantile(share, 2)) == pytest.approx(exact, rel=0.005)


def test_the_costs_of_both_plans_by_hand():
    # One note in three keeps its fault in one room of four: nothing else may happen.
    jobs = [
        job(1, ACTION_OUT, 4, 0, waiting=[60, 61, 62]),
        job(2, KEYS_OUT, 2, 0, now=[40, 41]),
    ]
    found = plans(jobs, [TREATMENT], Tariff(Fraction(25), Fraction(30)), [0, 0, 0.25, 0.75])
    # At once: travel, action out, three flanges, two keys.
    assert found.now.expected == 25 + 20 + 3 * 4 + 2 * 2
    # First: travel, the room, keys out, two keys; then the minimum for looking, or one flange.
    assert found.first_visit.expected == 25 + 43 + 15 + 2 * 2
    assert found.room_first.expected == 87 + Fraction(3, 4) * 30 + Fraction(1, 4) * (25 + 20 + 4)
    assert found.room_first_is_cheaper == 0


def test_what_both_plans_do_alike_makes_neither_cheaper():
    # A thousandth of a unit is saved by what differs, however uncertain the rest is.
    sure = Job(9, Piece("open a window", Fraction(0)), NO_SET_UP, frozenset({0}))
    same = job(1, ACTION_OUT, 100, 10_000, now=[60])
    saved = job(2, KEYS_OUT, Fraction(25_001, 1000), 0, waiting=[40])
    found = plans([same, saved], [sure], Tariff(Fraction(25)), [0, 1])
    assert found.room_first_is_cheaper == 1


def test_repairing_everything_has_the_range_of_a_normal_distribution():
    mean, deviation = 25 + 20 + 10 * 4, sqrt(16 + 10**2 * 1)
    plan = plan_now([job(1, ACTION_OUT, 4, 1, now=range(10))], TARIFF)
    for share in (0.1, 0.9):
        assert float(plan.quantile(share, 2)) == pytest.approx(
            norm.ppf(share, mean, deviation), abs=0.011
        )


def test_work_charged_once_costs_the_same_for_one_note_and_for_many():
    shim = job(1, KEYS_OUT, 5, 0, now=[60, 61], waiting=[62, 63], once=True)
    assert plan_now([shim], Tariff()).expected == 15 + 5
    found = plans([shim], [TREATMENT], Tariff(), [0.5, 0.5, 0])
    # Again in the second visit, with whichever of the two notes is left.
    assert found.room_first.expected == (43 + 15 + 5) + (15 + 5)


def test_a_cost_that_is_certain_is_its_own_range():
    shim = Job(1, Piece("shim", Fraction(7, 2)), NO_SET_UP, frozenset({60}))
    plan = plan_now([shim], Tariff(Fraction(25)))
    assert (plan.quantile(0.1, 2), plan.quantile(0.9, 2)) == (Decimal("28.50"),) * 2
