import pytest

from tests.factories.diagnostics import ExaminationFactory, TouchWeightFactory
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db


def test_a_weighed_note_lies_within_the_compass():
    # 85 notes: A0 is 21 and A7 is 105.
    examination = ExaminationFactory(instrument__lowest_midi=21, instrument__highest_midi=105)
    for outside, inside in [(106, 105), (20, 21)]:
        with refused("diagnostics_touchweight_note_in_compass"):
            TouchWeightFactory(examination=examination, note_midi=outside)
        with accepted():
            TouchWeightFactory(examination=examination, note_midi=inside)


def test_a_note_that_was_weighed_has_a_weight():
    nothing = {"down_weight_g": None, "up_weight_g": None}
    with refused("diagnostics_touchweight_measured"):
        TouchWeightFactory(**nothing)
    with accepted():
        TouchWeightFactory(**nothing, key_friction_g=0)


@pytest.mark.parametrize(
    ("wrong", "right"),
    [
        ({"down_weight_g": 301}, {"down_weight_g": 300}),
        ({"up_weight_g": -1}, {"up_weight_g": 0}),
        ({"key_friction_g": 101}, {"key_friction_g": 100}),
    ],
)
def test_a_weight_is_one_that_a_piano_can_have(wrong, right):
    with refused("diagnostics_touchweight_believable"):
        TouchWeightFactory(**wrong)
    with accepted():
        TouchWeightFactory(**right)


def test_a_key_lifts_no_more_than_what_presses_it_down():
    with refused("diagnostics_touchweight_up_within_down"):
        TouchWeightFactory(down_weight_g=28, up_weight_g=52)
    for down, up in [(52, 52), (None, 52), (28, None)]:
        with accepted():
            TouchWeightFactory(down_weight_g=down, up_weight_g=up)


def test_a_note_is_weighed_once_in_an_examination():
    weighed = TouchWeightFactory()
    with refused("diagnostics_touchweight_once"):
        TouchWeightFactory(examination=weighed.examination)
    with accepted():
        TouchWeightFactory(examination=weighed.examination, note_midi=61)
        TouchWeightFactory()
