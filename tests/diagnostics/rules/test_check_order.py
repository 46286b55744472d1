from functools import partial
from itertools import product
from math import isclose, prod

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnostics.rules.check_order import best_check, check_order, first_check, follow
from diagnostics.rules.least_minutes import LeastMinutes
from diagnostics.rules.possible_checks import (
    CLOSED,
    Access,
    PossibleCheck,
    believed_after,
    information_bits,
    search_for,
)
from tests.diagnostics.rules.check_problems import (
    ACCESSES,
    NOT_FOUND,
    imperfect_problems,
    perfect,
)

ACTION_OUT = Access("g2", 2, 20)


def codes(order):
    return [step.check.code for step in order.steps]


# Ratios 3/2, 5/4 and 1/1 by hand; 1 of 10 has none of these causes.
@pytest.fixture
def three_causes():
    belief = {"a": 3, "b": 5, "c": 1, NOT_FOUND: 1}
    return search_for(belief, [perfect("a", 2), perfect("b", 4), perfect("c", 1)], sure=1)


def test_each_step_says_what_it_costs_how_likely_it_is_and_what_its_answers_mean(three_causes):
    order = check_order(three_causes)
    assert (codes(order), order.is_exact, order.cause) == (["a", "b", "c"], True, None)
    assert [step.chance_needed for step in order.steps] == pytest.approx([1, 0.7, 0.2])
    # 2 minutes for all, 4 for the 7 of 10 not found by then, 1 for the 2 of 10.
    assert order.expected_minutes == pytest.approx(2 + 4 * 0.7 + 1 * 0.2)
    found, not_found = order.steps[0].positive, order.steps[0].negative
    assert (found.cause, found.next_check, found.chance) == ("a", None, pytest.approx(0.3))
    assert not_found.cause is None
    assert not_found.next_check.code == "b"
    assert not_found.belief == pytest.approx({"b": 5 / 7, "c": 1 / 7, NOT_FOUND: 1 / 7})


def test_a_cause_that_is_sure_asks_for_nothing():
    search = search_for({"a": 9, "b": 1}, [perfect("a", 1)], sure=0.9)
    order = check_order(search)
    assert (order.steps, order.expected_minutes, order.cause) == ((), 0, "a")
    assert best_check(search) is None
    assert first_check(search) is None


def test_without_a_check_that_tells_anything_there_is_nothing_to_ask():
    blind = PossibleCheck("blind", 1, CLOSED, {"a": 0.4, "b": 0.4})
    order = check_order(search_for({"a": 1, "b": 1}, [blind], sure=0.9))
    assert (order.steps, order.cause) == ((), None)


def test_access_is_paid_once_and_stands_with_the_step_that_needs_it():
    belief = {"a": 5, "b": 4, NOT_FOUND: 1}
    checks = [perfect("a", 1, ACTION_OUT), perfect("b", 1, ACTION_OUT)]
    order = check_order(search_for(belief, checks, sure=1))
    assert [step.access_minutes for step in order.steps] == [20, 0]
    opened = check_order(search_for(belief, checks, sure=1, opened=ACTION_OUT))
    assert [step.access_minutes for step in opened.steps] == [0, 0]


# A check right nine times in ten: after one answer 0.9 of an even belief, after two 81 to 1.
# Source: Bayes' rule, by hand.
def test_two_checks_that_err_make_a_belief_of_81_to_1():
    checks = [PossibleCheck(code, 1, CLOSED, {"a": 0.9}, 0.1) for code in ("first", "second")]
    belief = believed_after({"a": 0.5, "b": 0.5}, checks[0], positive=True)
    assert belief == pytest.approx({"a": 0.9, "b": 0.1})
    belief = believed_after(belief, checks[1], positive=True)
    assert belief == pytest.approx({"a": 81 / 82, "b": 1 / 82})


# Source: the capacity of a binary symmetric channel, 1 - H(p); H(0.11) = 0.4999 (Cover and Thomas,
# "Elements of Information Theory", section 7.1.4, from memory).
@pytest.mark.parametrize(("error", "bits"), [(0.0, 1.0), (0.11, 0.5001), (0.5, 0.0)])
def test_the_information_of_a_check_is_that_of_a_noisy_channel(error, bits):
    check = PossibleCheck("check", 1, CLOSED, {"a": 1 - error}, error)
    found = information_bits({"a": 0.5, "b": 0.5}, check)
    assert found == pytest.approx(bits, abs=5e-5)


def test_following_the_order_counts_minutes_and_access_until_the_cause_is_sure(three_causes):
    followed = follow(three_causes, best_check, lambda check: check.code == "b")
    assert (followed.minutes, followed.made, followed.cause) == (6, ("a", "b"), "b")
    fixed = follow(three_causes, first_check, lambda check: check.code == NOT_FOUND)
    assert (fixed.minutes, fixed.made, fixed.cause) == (7, ("a", "b", "c"), NOT_FOUND)


def test_an_answer_that_no_cause_gives_is_refused():
    search = search_for({"a": 1, "b": 1, "c": 2}, [perfect("a", 1), perfect("c", 1)], sure=1)
    impossible = search.after(search.checks[0], positive=False)
    with pytest.raises(ValueError, match="belief"):
        impossible.after(PossibleCheck("sure", 1, CLOSED, {}, 0.0), positive=True)


@settings(max_examples=40)
@given(imperfect_problems(most_checks=4), st.sampled_from([0.75, 0.9]))
def test_following_the_best_checks_takes_the_expected_minutes_that_were_promised(problem, sure):
    belief, checks = problem
    search = search_for(belief, checks, sure=sure)
    expected = 0.0
    for answers in product([True, False], repeat=len(search.checks)):
        shown = dict(zip((check.code for check in search.checks), answers, strict=True))
        chance = sum(
            weight * prod(_likelihood(check, cause, shown) for check in search.checks)
            for cause, weight in search.belief.items()
        )
        expected += chance * follow(search, best_check, partial(_shown, shown)).minutes
    assert isclose(expected, LeastMinutes(search).minutes, abs_tol=1e-6)


def _shown(shown, check):
    return shown[check.code]


def _likelihood(check, cause, shown):
    return check.share(cause) if shown[check.code] else 1 - check.share(cause)


@settings(max_examples=60)
@given(imperfect_problems(most_checks=5), st.sampled_from([0.75, 0.9]))
def test_an_order_names_no_check_twice_and_ends_when_nothing_is_left(problem, sure):
    belief, checks = problem
    order = check_order(search_for(belief, checks, sure=sure))
    assert len(set(codes(order))) == len(order.steps)
    assert set(codes(order)) <= {check.code for check in checks}
    chances = [step.chance_needed for step in order.steps]
    assert chances == sorted(chances, reverse=True)
    for step in order.steps:
        assert isclose(step.positive.chance + step.negative.chance, 1, abs_tol=1e-9)
    if order.steps:
        last = order.steps[-1]
        assert last.positive.next_check is last.negative.next_check is None
    assert order.cause is None or not order.steps


def test_more_checks_than_can_be_solved_exactly_still_get_an_order_that_ends():
    belief = {f"cause-{number}": 7 - number for number in range(6)}
    checks = [
        PossibleCheck(
            f"check-{number}", 1 + number % 3, ACCESSES[number % 4],
            {f"cause-{number % 6}": 0.9, f"cause-{(number * 5 + 2) % 6}": 0.7}, 0.1,
        )
        for number in range(12)
    ]  # fmt: skip
    order = check_order(search_for(belief, checks, sure=0.95))
    assert not order.is_exact
    assert 5 < len(order.steps) <= 12
    assert order.expected_minutes < sum(check.minutes for check in checks) + 9
