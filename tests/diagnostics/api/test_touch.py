import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from diagnostics.api.spread_examples import TOUCH
from tests.factories.diagnostics import (
    FindingFactory,
    MeasuredRangeFactory,
    MeasurementFactory,
)


def weigh(examination, note, **values):
    finding = FindingFactory(examination=examination, note_midi=note)
    for quantity, value in values.items():
        MeasurementFactory(finding=finding, quantity=quantity, value=value)


@pytest.fixture
def ranges(db):
    MeasuredRangeFactory(
        code="friction", quantity="touch_friction_g", low=7, high=16, judges=True, actions=["grand"]
    )
    MeasuredRangeFactory(code="up-only", quantity="touch_friction_g", actions=["upright"])
    MeasuredRangeFactory(code="swings", swings=True, judges=True)


def test_balance_and_friction_come_of_down_and_up_weight(technician, grand_examined, ranges):
    # Source: a list of college and university technicians: D 52, U 28 g: B 40, F 12 g.
    weigh(grand_examined, 60, down_weight_g=52, up_weight_g=28)
    answer = technician.get(f"examinations/{grand_examined.pk}/touch")
    (note,) = answer["notes"]
    assert (note["note_midi"], note["note"], note["is_remarkable"]) == (60, "C4", False)
    values = {each["quantity"]: each for each in note["values"]}
    assert values["balance_weight_g"]["value_g"] == "40"
    friction = values["touch_friction_g"]
    assert (friction["value_g"], friction["standing"], friction["judged_by"]) == (
        "12",
        "within",
        "friction",
    )
    assert friction["smooth_g"] is None
    assert [(each["range"], each["within"]) for each in answer["ranges"]] == [("friction", 1)]
    assert all(formula["source"] for formula in answer["formulas"])


def test_a_note_unlike_its_neighbours_is_remarked(technician, grand_examined, ranges):
    for note in range(50, 70):
        weigh(grand_examined, note, down_weight_g=52, up_weight_g=28)
    weigh(grand_examined, 70, down_weight_g=58, up_weight_g=22)
    answer = technician.get(f"examinations/{grand_examined.pk}/touch")
    remarked = [note for note in answer["notes"] if note["is_remarkable"]]
    assert [note["note"] for note in remarked] == ["A#4"]
    values = {each["quantity"]: each for each in remarked[0]["values"]}
    assert values["touch_friction_g"]["stands_out"]
    assert values["touch_friction_g"]["smooth_g"] == pytest.approx(12, abs=0.2)
    curves = {each["quantity"]: each for each in answer["curves"]}
    assert curves["touch_friction_g"]["notes"] == 21
    assert answer["sentence"] == "21 notes weighed. 1 note unlike the neighbours."


def test_too_few_notes_are_said_to_be_too_few(technician, grand_examined, ranges):
    path = f"examinations/{grand_examined.pk}/touch"
    assert technician.get(path)["sentence"] == "No note was weighed."
    for note in range(60, 67):
        weigh(grand_examined, note, down_weight_g=52, up_weight_g=28)
    few = technician.get(path)
    assert few["curves"] == []
    assert few["sentence"] == (
        "7 notes weighed: too few to smooth, which takes down and up weight of 8 notes."
    )
    weigh(grand_examined, 67, down_weight_g=52, up_weight_g=28, key_friction_g=3)
    enough = technician.get(path)
    assert len(enough["curves"]) == 2
    assert enough["sentence"] == (
        "8 notes weighed. 1 note with friction of the key: too few to smooth."
        " 0 notes unlike the neighbours."
    )


def test_of_a_note_measured_twice_the_later_counts(technician, grand_examined, ranges):
    weigh(grand_examined, 60, down_weight_g=90, up_weight_g=28)
    weigh(grand_examined, 60, down_weight_g=52)
    (note,) = technician.get(f"examinations/{grand_examined.pk}/touch")["notes"]
    assert {each["quantity"]: each["value_g"] for each in note["values"]} == {
        "down_weight_g": "52",
        "up_weight_g": "28",
        "balance_weight_g": "40",
        "touch_friction_g": "12",
    }


def test_weights_that_cannot_be_are_to_be_measured_again(technician, grand_examined, ranges):
    weigh(grand_examined, 60, down_weight_g=28, up_weight_g=52)
    answer = technician.get(f"examinations/{grand_examined.pk}/touch")
    assert (answer["impossible"], answer["notes"]) == ("C4", [])


def test_the_touch_costs_as_many_statements_for_many_notes_as_for_one(
    technician, grand_examined, ranges
):
    path = f"examinations/{grand_examined.pk}/touch"
    weigh(grand_examined, 60, down_weight_g=52, up_weight_g=28)
    with CaptureQueriesContext(connection) as of_one:
        technician.get(path)
    for note in range(61, 81):
        weigh(grand_examined, note, down_weight_g=52, up_weight_g=28, key_friction_g=3)
    with CaptureQueriesContext(connection) as of_many:
        assert len(technician.get(path)["notes"]) == 21
    assert len(of_many) == len(of_one)


def test_an_examination_without_weights_has_nothing_to_tell(technician, nobody, grand_examined):
    path = f"examinations/{grand_examined.pk}/touch"
    answer = technician.get(path)
    assert (answer["notes"], answer["curves"], answer["ranges"]) == ([], [], [])
    nobody.get(path, status=401)
    technician.get("examinations/999999/touch", status=404)


def test_the_touch_shown_in_the_description_is_the_one_that_is_answered(technician, grand_examined):
    MeasuredRangeFactory(
        code="touch-friction",
        name="Friction of the whole note",
        quantity="touch_friction_g",
        low=7,
        high=16,
        judges=True,
        provenance="estimate",
        source="A band to warn outside of.",
    )
    weigh(grand_examined, 64, down_weight_g=58, up_weight_g=22)
    answer = technician.get(f"examinations/{grand_examined.pk}/touch")
    assert answer == TOUCH | {"examination": grand_examined.pk}
