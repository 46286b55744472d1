import pytest

from diagnostics.models import TouchWeight
from tests.diagnostics.api.conftest import wrong
from tests.factories.diagnostics import FindingFactory, MeasurementFactory


@pytest.fixture
def path(grand_examined):
    return f"examinations/{grand_examined.pk}/touch-weights"


def test_a_keyboard_is_weighed_row_by_row_or_as_a_sheet(technician, path):
    [item] = technician.post(path, {"note": "C4", "down_weight_g": 52, "up_weight_g": 28})["items"]
    assert (item["note_midi"], item["down_weight_g"], item["key_friction_g"]) == (60, "52", None)
    sheet = "note,down_weight_g,up_weight_g,key_friction_g\nD4,53,27,\nE4,,,2.5\n"
    items = technician.post(path, sheet)["items"]
    assert [(each["note"], each["up_weight_g"], each["key_friction_g"]) for each in items] == [
        ("D4", "27", None),
        ("E4", None, "2.5"),
    ]
    listed = technician.get(f"{path}?note=naturals")["items"]
    assert [each["note"] for each in listed] == ["C4", "D4", "E4"]


def test_every_wrong_row_is_named_and_nothing_is_stored(technician, path):
    rows = [
        {"note": "C4", "down_weight_g": 52},
        {"note": "C9", "down_weight_g": 52},
        {"note": "D4"},
        {"note": "E4", "down_weight_g": 28, "up_weight_g": 52},
        {"note": "F4", "down_weight_g": -1},
        {"note": "C4", "up_weight_g": 20},
        {"down_weight_g": 52},
    ]
    assert wrong(technician.post(path, rows, status=400)) == [
        ("/1/note", "note-outside-compass"),
        ("/2/down_weight_g", "nothing-measured"),
        ("/3/up_weight_g", "weights-crossed"),
        ("/4/down_weight_g", "min-value"),
        ("/5/note", "given-twice"),
        ("/6/note", "note-missing"),
    ]
    assert not TouchWeight.objects.exists()


def test_a_note_is_weighed_again_when_its_weights_are_removed(technician, path):
    row = {"note": "C4", "down_weight_g": 52}
    [item] = technician.post(path, row)["items"]
    problem = technician.post(path, row, status=409)
    assert problem["type"].endswith("/problems/note-weighed")
    assert wrong(problem) == [("/note", "note-weighed")]
    technician.remove(f"touch-weights/{item['id']}")
    technician.get(f"touch-weights/{item['id']}", status=404)
    technician.post(path, row)


def test_the_touch_is_of_the_weighed_keyboard_before_what_findings_measured(
    technician, grand_examined, path
):
    finding = FindingFactory(examination=grand_examined, note_midi=60)
    MeasurementFactory(finding=finding, quantity="down_weight_g", value=70)
    MeasurementFactory(finding=finding, quantity="key_friction_g", value=5)
    technician.post(path, {"note": "C4,D4", "down_weight_g": 52, "up_weight_g": 28})
    notes = technician.get(f"examinations/{grand_examined.pk}/touch")["notes"]
    values = [{each["quantity"]: each["value_g"] for each in note["values"]} for note in notes]
    assert [note["note"] for note in notes] == ["C4", "D4"]
    assert (values[0]["down_weight_g"], values[0]["key_friction_g"]) == ("52", "5")
    assert values[1]["touch_friction_g"] == "12"
