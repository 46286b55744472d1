from random import Random

import pytest

from diagnostics.rules.cause_figures import AgeClass, CauseFigures, CheckFigures, Figures
from diagnostics.rules.possible_checks import Access
from diagnostics.rules.room import RoomState
from diagnostics.rules.searches import CheckWork
from diagnostics.rules.spread import SpreadKind
from diagnostics.rules.trial import Nature, perturbed
from diagnostics.rules.trial_scores import Ranked, Scores, Trial

# Invented figures of three causes.
LEANINGS = {
    SpreadKind.ISOLATED: 0.6,
    SpreadKind.EVERYWHERE: 0.4,
    RoomState.DAMP: 0.7,
    RoomState.IN_RANGE: 0.3,
    AgeClass.OLD: 0.5,
    AgeClass.NEW: 0.5,
}
DRIER = {**LEANINGS, RoomState.DAMP: 0.2, RoomState.IN_RANGE: 0.8}
FIGURES = Figures(
    causes=(
        CauseFigures("a", "A", 0.5, checks={"x": 0.9}, faults={"slow": 0.7}, leanings=LEANINGS),
        CauseFigures("b", "B", 0.3, checks={"y": 0.8}, faults={"slow": 0.5}, leanings=DRIER),
        CauseFigures("c", "C", 0.2, faults={"noise": 0.8, "slow": 0.2}, leanings=DRIER),
    ),
    checks={"x": CheckFigures("x", "X", 0.05), "y": CheckFigures("y", "Y", 0.2)},
)
WORKS = [CheckWork("y", 9, Access("out", 1, 10)), CheckWork("x", 1, Access())]


def tried(nature, count):
    trial, scores = Trial(FIGURES, nature, WORKS, sure=0.9), Scores()
    for _ in range(count):
        trial.run_one(scores)
    return scores


def test_every_bad_note_has_a_cause_and_a_fault():
    nature = Nature(FIGURES, Random(1))
    for _ in range(50):
        drawn = nature.instrument()
        assert 1 <= len(drawn.seen.notes) == len(drawn.causes) <= 4
        assert all(note.faults for note in drawn.seen.notes)
        assert all(causes <= {"a", "b", "c"} and causes for causes in drawn.causes)


def test_checks_are_positive_as_often_as_the_figures_say():
    nature = Nature(FIGURES, Random(2))
    for check, causes, share in [("x", {"a"}, 0.9), ("x", {"b"}, 0.05), ("y", {"a", "b"}, 0.8)]:
        shown = sum(nature.answer(check, frozenset(causes)) for _ in range(4000))
        assert shown / 4000 == pytest.approx(share, abs=0.03)  # six standard deviations at most


def test_probabilities_come_true_when_the_figures_are_right():
    scores = tried(Nature(FIGURES, Random(3)), 600)
    told = [each for each in scores.bins if len(each.said) >= 100]
    assert len(told) >= 3
    for each in told:
        assert each.share_true == pytest.approx(each.mean_said, abs=0.12)


def test_checks_find_the_cause_more_often_and_the_best_order_sooner_than_a_fixed_one():
    scores = tried(Nature(FIGURES, Random(4)), 300)
    assert scores.before.notes > scores.after.notes == 300
    before, after = scores.before, scores.after
    assert after.first / after.notes > before.first / before.notes
    assert scores.best.minutes < scores.fixed.minutes


def test_figures_that_are_off_still_share_each_family_out_and_keep_what_is_known():
    off = perturbed(FIGURES, Random(5), 0.7)
    for before, after in zip(FIGURES.causes, off.causes, strict=True):
        assert after.checks.keys() == before.checks.keys()
        assert after.leanings.keys() == before.leanings.keys()
        rooms = [share for each, share in after.leanings.items() if isinstance(each, RoomState)]
        assert sum(rooms) == pytest.approx(1)
        assert all(0 < share < 1 for share in (*after.checks.values(), *after.faults.values()))
    assert off.causes[0].checks != FIGURES.causes[0].checks


def test_a_cause_counts_among_three_when_it_is_third_and_not_when_it_is_fourth():
    ranked = Ranked()
    chances = {"a": 0.4, "b": 0.3, "c": 0.2, "d": 0.1}
    for cause in ("a", "c", "d"):
        ranked.add(chances, frozenset({cause}))
    assert (ranked.notes, ranked.first, ranked.among_three) == (3, 1, 2)
