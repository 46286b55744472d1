import pytest

from diagnostics.rules.pin_trials import Advice, Fit, NextTrial, Trial, next_trial
from diagnostics.rules.pins import Scheme, ladder, parse_size

INCH = ladder([Scheme.INCH])


def size(label, scheme=Scheme.INCH):
    return parse_size(label, scheme)


def after(*trials, sizes=INCH):
    tried = [Trial(size(label), Fit(fit)) for label, fit in trials]
    return next_trial(tried, sizes)


# Common practice: start at 20; too snug, go down; too loose, go up; firm is right.
@pytest.mark.parametrize(
    ("trials", "advice", "label"),
    [
        ([], "try", "20"),
        ([("20", "too_loose")], "try", "20.5"),
        ([("20", "too_loose"), ("20.5", "too_loose")], "try", "21"),
        ([("20", "too_snug")], "try", "19.5"),
        ([("20", "firm")], "fits", "20"),
        ([("20", "too_loose"), ("20.5", "firm")], "fits", "20.5"),
        ([("20", "too_loose"), ("21", "too_snug")], "try", "20.5"),
        ([("21", "too_snug"), ("19", "too_loose")], "try", "19.5"),
        ([("19", "too_loose"), ("21", "too_snug")], "try", "20.5"),
        ([("20", "too_loose"), ("20.5", "too_snug")], "ream", "20.5"),
        ([("24", "too_loose")], "no_size_left", None),
        ([("18", "too_snug")], "no_size_left", None),
        ([("20", "too_snug"), ("20.5", "too_loose")], "measure_again", None),
        ([("20", "firm"), ("20.5", "too_loose")], "measure_again", None),
        ([("20", "firm"), ("19.5", "too_snug")], "measure_again", None),
        ([("20", "too_snug"), ("20", "too_loose")], "measure_again", None),
    ],
)
def test_the_fit_leads_from_trial_to_trial(trials, advice, label):
    assert after(*trials) == NextTrial(Advice(advice), label and size(label))


def test_a_size_of_the_other_scheme_between_two_is_tried_before_reaming():
    found = after(("20", "too_loose"), ("20.5", "too_snug"), sizes=ladder())
    assert found == NextTrial(Advice.TRY, size("20.5", Scheme.METRIC))


def test_the_first_trial_is_the_size_at_hand_nearest_to_20():
    assert after(sizes=[size("21"), size("22")]).size == size("21")
    assert after(sizes=[]) == NextTrial(Advice.NO_SIZE_LEFT)


def test_the_advice_names_the_size_as_technicians_do():
    assert after(("20", "too_loose")).sentence == "Try size 20 1/2."
    assert "split" not in after(("24", "too_loose")).sentence
