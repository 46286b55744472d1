from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnostics.rules.check_order import check_order
from diagnostics.rules.check_round import Trouble, round_of_checks
from diagnostics.rules.possible_checks import CLOSED, Access, PossibleCheck, search_for
from tests.diagnostics.rules.check_problems import ACCESSES, imperfect_problems

SLIP_OFF = Access("g1", 1, 10)
ACTION_OUT = Access("g2", 2, 20)
BELIEF = {"key": 5, "action": 4, "slip": 1}
SLIP = PossibleCheck("t3", 2, CLOSED, {"slip": 0.9}, 0.1, per_note=False)
HAMMER = PossibleCheck("t4", 1, ACTION_OUT, {"action": 0.95}, 0.05)
KEY = PossibleCheck("t7", 0.5, CLOSED, {"key": 0.9}, 0.1)
CHECKS = [SLIP, HAMMER, KEY]


def trouble(*notes, belief=BELIEF, checks=CHECKS, sure=0.8):
    return Trouble(notes, search_for(belief, checks, sure=sure))


def told(step):
    return step.check.code, step.notes


def test_one_note_gets_the_exact_order_of_its_search():
    alone = trouble(60)
    found = round_of_checks([alone])
    order = check_order(alone.search)
    assert [step.check.code for step in found.steps] == [step.check.code for step in order.steps]
    assert found.expected_minutes == order.expected_minutes
    assert found.is_exact
    assert {step.notes for step in found.steps} == {(60,)}


def test_a_check_of_a_note_takes_its_minutes_on_each_and_one_of_the_instrument_takes_them_once():
    found = round_of_checks([trouble(60, 61, 62, 63)])
    minutes = {step.check.code: step.minutes for step in found.steps}
    assert minutes == {"t7": 2, "t3": 2, "t4": 4}
    assert {step.notes for step in found.steps} == {(60, 61, 62, 63)}


def test_access_is_gained_once_for_all_notes_behind_it():
    found = round_of_checks([trouble(60, 61), trouble(70, belief={"key": 1, "action": 3})])
    access = [step.access_minutes for step in found.steps if step.check is HAMMER]
    assert access[0] == 20
    assert sum(access) == 20


# With the action out already, a minute of looking at the hammers tells more than anything else.
def test_with_the_action_out_the_checks_behind_it_come_first():
    troubles = [trouble(60, belief={"key": 1, "action": 1}), trouble(61, 62)]
    closed, opened = round_of_checks(troubles), round_of_checks(troubles, ACTION_OUT)
    assert closed.steps[0].check is KEY
    assert opened.expected_minutes < closed.expected_minutes
    assert all(step.access_minutes == 0 for step in opened.steps)


# By hand: t7 settles two notes in a minute, either way at 0.9; then t3 settles the third in two
# minutes, where t4 would take 21. Neither is made where it tells nothing, or nothing more.
def test_a_check_is_made_on_the_notes_where_it_tells_something():
    keys = trouble(60, 61, belief={"key": 5, "slip": 5}, checks=[SLIP, KEY])
    hammers = trouble(70, belief={"action": 5, "slip": 5}, checks=[SLIP, HAMMER])
    found = round_of_checks([keys, hammers])
    assert [told(step) for step in found.steps] == [
        ("t7", (60, 61)),
        ("t3", (70,)),
    ]


def test_a_note_whose_cause_is_sure_is_left_in_peace():
    sure = trouble(50, belief={"key": 9, "slip": 1})
    found = round_of_checks([sure, trouble(60, 61)])
    assert all(50 not in step.notes for step in found.steps)
    assert round_of_checks([sure]).steps == ()
    assert round_of_checks([]).steps == ()


def test_an_answer_says_what_it_would_make_of_the_belief():
    asked = round_of_checks([trouble(60, 61)]).steps[0].asked[0]
    # Bayes' rule by hand for t7 on 5, 4, 1: yes 4.5, 0.4, 0.1; no 0.5, 3.6, 0.9.
    assert asked.positive.chance == pytest.approx(0.5)
    assert asked.positive.cause == "key"
    assert asked.positive.belief == pytest.approx({"key": 0.9, "action": 0.08, "slip": 0.02})
    assert asked.negative.cause is None
    assert asked.negative.belief == pytest.approx({"key": 0.1, "action": 0.72, "slip": 0.18})


@settings(max_examples=60)
@given(st.lists(imperfect_problems(most_checks=4), max_size=4), st.sampled_from(ACCESSES))
def test_a_round_asks_each_note_a_check_once_and_never_pays_access_twice(problems, opened):
    troubles = []
    for number, (belief, checks) in enumerate(problems):
        own = [replace(check, code=f"{check.code}-of-{number}") for check in checks]
        search = search_for(belief, own, sure=0.9)
        troubles.append(Trouble((2 * number, 2 * number + 1), search))
    found = round_of_checks(troubles, opened)
    asked = [(step.check.code, note) for step in found.steps for note in step.notes]
    assert len(set(asked)) == len(asked)
    possible = {
        (check.code, note)
        for each in troubles
        for note in each.notes
        for check in each.search.checks
    }
    assert set(asked) <= possible
    deepest = max([opened, *(step.check.access for step in found.steps)], key=lambda a: a.depth)
    paid = sum(step.access_minutes for step in found.steps)
    assert paid == pytest.approx(deepest.minutes - opened.minutes)
    at_most = sum(step.minutes + step.access_minutes for step in found.steps)
    assert found.expected_minutes <= at_most + 1e-9
