from fractions import Fraction
from itertools import combinations_with_replacement, permutations, product
from math import isclose

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnostics.rules.least_minutes import LeastMinutes, ratio_order, solved
from diagnostics.rules.possible_checks import CLOSED, Access, PossibleCheck, search_for, telling
from tests.diagnostics.rules.check_problems import (
    ACCESSES,
    NOT_FOUND,
    fixed,
    imperfect_problems,
    least_of_all_orders,
    perfect,
    search_minutes,
    way_minutes,
    ways,
)

OPEN = [CLOSED]
SHALLOW = ACCESSES[:3]


def small_cases(count, weights, minutes, accesses):
    """Return every case of `count` causes with a perfect check each, whatever their order."""
    kinds = list(product(weights, minutes, accesses))
    return list(combinations_with_replacement(kinds, count))


def posed(case):
    """Return the belief, with a cause that no check shows, and the checks of a case."""
    belief = {f"cause-{number}": weight for number, (weight, _, _) in enumerate(case)}
    checks = [
        perfect(f"cause-{number}", minutes, access)
        for number, (_, minutes, access) in enumerate(case)
    ]
    return {**belief, NOT_FOUND: 1}, checks


CASES = {
    "two, set-ups": small_cases(2, (1, 2, 5), (1, 2, 5), SHALLOW),
    "three, set-ups": small_cases(3, (1, 3), (1, 2, 5), SHALLOW),
    "four, set-ups": small_cases(4, (1, 3), (1, 4), (CLOSED, ACCESSES[1], ACCESSES[3])),
    "three, open": small_cases(3, (1, 2, 3, 5), (1, 2, 3, 5), OPEN),
    "four, open": small_cases(4, (1, 2, 5), (1, 3), OPEN),
    "five, open": small_cases(5, (1, 3), (1, 2), OPEN),
}


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_no_permutation_is_faster_than_the_exact_solution_or_the_rule_of_ratios(case):
    for belief, checks in map(posed, case):
        least = least_of_all_orders(checks, belief)
        assert search_minutes(ratio_order(checks, belief), belief) == least, checks
        assert isclose(LeastMinutes(search_for(belief, checks, sure=1)).minutes, least), checks


@pytest.mark.parametrize("case", [CASES["three, open"], CASES["five, open"]])
def test_without_set_ups_the_order_is_that_of_probability_over_minutes(case):
    for belief, checks in map(posed, case):
        ratios = [belief[check.code] / check.minutes for check in ratio_order(checks, belief)]
        assert ratios == sorted(ratios, reverse=True)
        first = LeastMinutes(search_for(belief, checks, sure=1)).check
        assert belief[first.code] / first.minutes == ratios[0]


# The rule of Smith (1956) for weights 3, 4, 2 and minutes 2, 4, 1, by hand: ratios 1.5, 1, 2, so
# the third, the first, the second. Found after 1, 3 and 7 minutes: (2 * 1 + 3 * 3 + 4 * 7) / 9.
def test_three_checks_stand_in_the_order_found_by_hand():
    belief = {"a": 3, "b": 4, "c": 2}
    checks = [perfect("a", 2), perfect("b", 4), perfect("c", 1)]
    ordered = ratio_order(checks, belief)
    assert [check.code for check in ordered] == ["c", "a", "b"]
    assert search_minutes(ordered, belief) == Fraction(39, 9)


# By hand: each of three checks behind ten minutes of access gains 3/11, less than 2/5 of the one in
# front; together they gain 9/13, so that the access is worth it first.
def test_access_that_many_checks_share_is_gained_before_a_better_single_check():
    behind = Access("action", 1, 10)
    checks = [perfect("front", 5), *(perfect(code, 1, behind) for code in "abc")]
    gains = {"front": 2, "a": 3, "b": 3, "c": 3}
    assert [check.code for check in ratio_order(checks, gains)] == ["a", "b", "c", "front"]
    alone = [check for check in checks if check.code in {"front", "a"}]
    assert [check.code for check in ratio_order(alone, gains)] == ["front", "a"]


def test_access_already_gained_makes_what_is_behind_it_cheap():
    behind = Access("action", 1, 10)
    belief = {"front": 2, "back": 3, NOT_FOUND: 1}
    checks = [perfect("front", 2), perfect("back", 1, behind)]
    assert LeastMinutes(search_for(belief, checks, sure=1)).check.code == "front"
    opened = search_for(belief, checks, sure=1, opened=behind)
    assert LeastMinutes(opened).check.code == "back"
    # The back first, 1 minute for all; then the front, 2 minutes for the 3 of 6 still not found.
    assert isclose(LeastMinutes(opened).minutes, 1 + 2 * 3 / 6)


def test_the_last_cause_left_needs_no_check_of_its_own():
    search = search_for({"a": 9, "b": 1}, [perfect("a", 2), perfect("b", 1)], sure=1)
    assert LeastMinutes(search).check.code == "b"
    assert LeastMinutes(search).minutes == 1


@settings(max_examples=60)
@given(imperfect_problems(most_checks=3), st.sampled_from([0.75, 0.875, 1.0]))
def test_no_way_of_any_shape_is_faster_than_the_exact_solution(problem, sure):
    belief, checks = problem
    asked = telling(belief, checks)
    total = sum(belief.values())
    least = min(way_minutes(way, belief, Fraction(sure)) for way in ways(asked)) / total
    found = LeastMinutes(search_for(belief, checks, sure=sure)).minutes
    assert isclose(found, least, abs_tol=1e-6)


@settings(max_examples=60)
@given(imperfect_problems(most_checks=5), st.sampled_from([0.75, 0.875, 1.0]))
def test_the_exact_solution_is_never_longer_than_any_fixed_order(problem, sure):
    belief, checks = problem
    total = sum(belief.values())
    found = LeastMinutes(search_for(belief, checks, sure=sure)).minutes
    for order in permutations(telling(belief, checks)):
        assert found <= way_minutes(fixed(order), belief, Fraction(sure)) / total + 1e-6


@settings(max_examples=40)
@given(imperfect_problems(most_checks=7), st.sampled_from([0.75, 0.875]))
def test_a_group_of_checks_with_the_rest_charged_gives_an_upper_bound(problem, sure):
    belief, checks = problem
    search = search_for(belief, checks, sure=sure)
    whole = LeastMinutes(search)
    few = search_for(belief, search.checks[:3], sure=sure)
    assert LeastMinutes(few, rest=search.checks[3:]).minutes >= whole.minutes - 1e-6


def many(count):
    """Return a belief of six causes and `count` checks of which each shows two of them."""
    belief = {f"cause-{number}": 7 - number for number in range(6)}
    checks = [
        PossibleCheck(
            f"check-{number}",
            1 + number % 3,
            ACCESSES[number % 4],
            {f"cause-{number % 6}": 0.9, f"cause-{(number * 5 + 2) % 6}": 0.7},
            0.1,
        )
        for number in range(count)
    ]
    return search_for(belief, checks, sure=0.8)


def test_many_checks_are_solved_by_the_most_telling_close_to_the_exact_solution():
    search = many(8)
    exact, near = LeastMinutes(search), solved(search)
    assert exact.minutes <= near.minutes <= 1.15 * exact.minutes
    assert near.check in search.checks
    assert solved(many(14)).check is not None


@pytest.mark.parametrize("sure", [0, 0.5, 1.01])
def test_sure_is_a_probability_that_two_causes_cannot_both_have(sure):
    with pytest.raises(ValueError, match=r"above 0\.5"):
        search_for({"a": 1}, [], sure=sure)


@pytest.mark.parametrize("belief", [{}, {"a": 0}, {"a": 2, "b": -1}])
def test_a_belief_without_weight_is_refused(belief):
    with pytest.raises(ValueError, match="belief"):
        search_for(belief, [], sure=0.8)


def test_a_check_named_twice_or_out_of_range_is_refused():
    with pytest.raises(ValueError, match="once"):
        search_for({"a": 1, "b": 1}, [perfect("a", 1), perfect("a", 2)], sure=0.8)
    with pytest.raises(ValueError, match="Check a"):
        perfect("a", -1)
    with pytest.raises(ValueError, match="Check a"):
        PossibleCheck("a", 1, CLOSED, {"cause": 1.2})
