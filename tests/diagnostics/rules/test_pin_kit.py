import itertools
import random
from decimal import Decimal
from fractions import Fraction
from math import prod

import pytest
from scipy.stats import dirichlet_multinomial

from diagnostics.rules.pin_kit import (
    MOST_EXACT_CENTRES,
    Demand,
    coverage,
    pin_kit,
    size_weights,
)
from diagnostics.rules.pins import PinSize, Scheme

SIZES = [PinSize(halves, Scheme.INCH) for halves in (40, 41, 42, 43)]
WEIGHTS = dict(zip(SIZES, (7.0, 6.0, 4.0, 3.0), strict=True))


def sure(chance):
    return Fraction(str(chance))


def by_size(*numbers):
    return dict(zip(SIZES, numbers, strict=False))


def shares(*texts):
    return by_size(*map(Decimal, texts))


def rising(weight, count):
    return prod((Fraction(weight) + step for step in range(count)), start=Fraction(1))


def brute_force(centres, weights, counts):
    """The chance by adding up every outcome, as an exact fraction."""
    total = Fraction(0)
    factor = Fraction(prod(range(1, centres + 1))) / rising(sum(weights), centres)
    for needed in itertools.product(*(range(count + 1) for count in counts)):
        if sum(needed) == centres:
            terms = zip(weights, needed, strict=True)
            total += factor * prod(
                rising(weight, count) / prod(range(1, count + 1)) for weight, count in terms
            )
    return float(total)


# Brute force over every outcome, in exact fractions.
@pytest.mark.parametrize(
    ("centres", "weights", "counts"),
    [
        (3, (1, 1), (2, 2)),
        (5, (7, 6, 4, 3), (3, 3, 2, 2)),
        (6, (Fraction(1, 2), Fraction(1, 4), 2), (4, 2, 5)),
        (8, (7, 6, 4, 3), (5, 4, 4, 3)),
        (4, (2, 3), (1, 2)),  # three pins for four centres: never enough
        (7, (20, 1), (7, 7)),  # as many of each as there are centres: always enough
    ],
)
def test_the_chance_that_all_sizes_suffice_is_exact(centres, weights, counts):
    demand = Demand(centres, by_size(*map(float, weights)))
    found, is_exact = coverage([demand], by_size(*counts))
    assert is_exact
    assert found == pytest.approx(brute_force(centres, weights, counts), abs=1e-12)


def test_two_sizes_agree_with_scipys_dirichlet_multinomial():
    reference = dirichlet_multinomial([7, 13], 30)
    # No more than 18 of one and 17 of the other of 30: 13 to 18 of the first.
    expected = sum(reference.pmf([first, 30 - first]) for first in range(13, 19))
    demand = Demand(30, by_size(7.0, 13.0))
    assert coverage([demand], by_size(18, 17))[0] == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize("confidence", [0.5, 0.8, 0.95, 0.99])
@pytest.mark.parametrize("centres", [1, 2, 5, 12, 30, 88, 250])
def test_a_kit_reaches_its_confidence_and_one_fewer_of_each_would_not_do(centres, confidence):
    demands = [Demand(centres, WEIGHTS)]
    kit = pin_kit(demands, sure(confidence))
    assert kit.is_exact
    assert kit.coverage >= confidence
    assert all(count <= centres for count in kit.counts.values())
    fewer = {size: max(0, count - 1) for size, count in kit.counts.items()}
    assert coverage(demands, fewer)[0] < confidence


@pytest.mark.parametrize("centres", [2, 3, 5, 7])
def test_a_kit_is_nearly_the_smallest_that_does(centres):
    weights = {size: WEIGHTS[size] for size in SIZES[:3]}
    demands = [Demand(centres, weights)]
    smallest = min(
        sum(counts)
        for counts in itertools.product(range(centres + 1), repeat=3)
        if coverage(demands, by_size(*counts))[0] >= 0.9
    )
    assert sum(pin_kit(demands, sure(0.9)).counts.values()) <= smallest + 1


def test_a_kit_does_in_a_simulation_as_often_as_it_says():
    chance = random.Random(20)
    kit = pin_kit([Demand(20, WEIGHTS)], sure(0.9))
    enough = 0
    for _ in range(4000):
        shares = [chance.gammavariate(weight, 1) for weight in WEIGHTS.values()]
        needed = chance.choices(SIZES, shares, k=20)
        enough += all(needed.count(size) <= kit.counts[size] for size in SIZES)
    # Three standard deviations of a share of 4000: sqrt(0.9 x 0.1 / 4000) x 3 = 0.014.
    assert enough / 4000 == pytest.approx(kit.coverage, abs=0.015)


def test_several_pianos_are_covered_at_least_as_surely_as_the_bound_says():
    grand = by_size(2.0, 9.0, 6.0)
    demands = [Demand(12, WEIGHTS), Demand(30, WEIGHTS), Demand(8, grand)]
    kit = pin_kit(demands, sure(0.95))
    assert not kit.is_exact
    assert kit.coverage >= 0.95
    chance, enough = random.Random(21), 0
    for _ in range(3000):
        needed = []
        for demand in demands:
            shares = [chance.gammavariate(weight, 1) for weight in demand.weights.values()]
            needed += chance.choices(list(demand.weights), shares, k=demand.centres)
        enough += all(needed.count(size) <= count for size, count in kit.counts.items())
    # The bound is not above the truth, by three standard deviations of a share of 3000: 0.012.
    assert enough / 3000 >= kit.coverage - 0.012
    separately = [pin_kit([demand], sure(0.95)).counts for demand in demands]
    assert all(
        count <= sum(kit_of_one.get(size, 0) for kit_of_one in separately)
        for size, count in kit.counts.items()
    )


def test_beyond_what_is_computed_the_chance_is_bounded_from_below():
    exact = pin_kit([Demand(MOST_EXACT_CENTRES, WEIGHTS)], sure(0.95))
    bounded = pin_kit([Demand(MOST_EXACT_CENTRES + 1, WEIGHTS)], sure(0.95))
    assert (exact.is_exact, bounded.is_exact) == (True, False)
    assert bounded.coverage >= 0.95
    assert sum(bounded.counts.values()) >= sum(exact.counts.values())


@pytest.mark.parametrize("demands", [[], [Demand(0, WEIGHTS)]])
def test_no_centres_need_no_pins(demands):
    kit = pin_kit(demands, sure(0.95))
    assert sum(kit.counts.values()) == 0
    assert kit.coverage == 1


def test_a_size_left_at_home_lowers_the_chance_to_that_of_not_needing_it():
    # One centre: the chance that it takes none of the other sizes is this size's share, 7 of 20.
    assert coverage([Demand(1, WEIGHTS)], {SIZES[0]: 1})[0] == pytest.approx(0.35)


def test_the_shops_history_moves_the_catalogues_shares():
    weights = size_weights(
        shares("0.5", "0.25", "0.25"), {SIZES[1]: 6, SIZES[3]: 2}, prior_weight=20
    )
    # 20 x 0.5; 20 x 0.25 + 6; 20 x 0.25; a size that only the history has: by hand.
    assert weights == by_size(10, 11, 5, 2)


def test_shares_that_do_not_sum_to_one_are_taken_in_proportion():
    assert size_weights(shares("0.3", "0.1"), {}, prior_weight=20) == by_size(15, 5)


def test_much_history_counts_no_more_than_one_pianos_likeness_allows():
    weights = size_weights(shares("0.5", "0.5"), {SIZES[0]: 980}, prior_weight=20, most_weight=60)
    # 990 and 10 of 1000, at 60 pins in all.
    assert weights == pytest.approx(by_size(59.4, 0.6))


def test_nothing_known_gives_no_kit():
    assert size_weights({}, {}) == {}
    kit = pin_kit([Demand(5, {})], sure(0.95))
    assert (kit.counts, kit.coverage) == ({}, 0)
    assert pin_kit([Demand(5, {}), Demand(5, WEIGHTS)], sure(0.95)).coverage == 0


def test_more_confidence_takes_more_pins():
    sizes = [
        sum(pin_kit([Demand(30, WEIGHTS)], sure(each)).counts.values()) for each in (0.5, 0.9, 0.99)
    ]
    assert sizes == sorted(set(sizes))


def test_one_size_in_two_centres_by_hand():
    # Shares uniform on two sizes: 0, 1 or 2 of the first are needed with 1/3 each, so that one of
    # each does in one piano of three.
    demand = Demand(2, by_size(1.0, 1.0))
    assert coverage([demand], by_size(1, 1))[0] == pytest.approx(1 / 3)
