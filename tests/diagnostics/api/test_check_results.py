import pytest

from diagnostics.models import CheckResult
from tests.diagnostics.api.conftest import wrong
from tests.factories.diagnostics import CheckFactory


@pytest.fixture
def path(upright_examined):
    CheckFactory(code="lift-hammer")
    CheckFactory(code="hold-damper", actions=["grand"])
    return f"examinations/{upright_examined.pk}/check-results"


def test_results_are_recorded_one_at_a_time_or_as_a_list(technician, path):
    row = {"check": "lift-hammer", "note": "F#4", "outcome": "positive", "comment": "Falls slowly."}
    [item] = technician.post(path, row)["items"]
    assert {name: item[name] for name in row} == row
    assert (item["note_midi"], item["key_number"], item["key_name"]) == (66, 46, "F#46")
    rows = [
        {"check": "lift-hammer", "outcome": "unclear"},
        {"check": "lift-hammer", "note": "C40-D42", "outcome": "negative"},
    ]
    items = technician.post(f"{path}?naming=key_number", rows)["items"]
    assert [item["note"] for item in items] == [None, "C4", "C#4", "D4"]
    assert CheckResult.objects.count() == 5


def test_every_wrong_result_is_named_and_nothing_is_stored(technician, path):
    rows = [
        {"check": "lift-hammer", "note": "F4", "outcome": "positive"},
        {"check": "kick-it", "note": "F4", "outcome": "positive"},
        {"check": "hold-damper", "note": "C9", "outcome": "positive"},
        {"check": "lift-hammer", "note": "F4", "outcome": "negative"},
        {"check": "lift-hammer", "note": "G4", "outcome": "maybe"},
    ]
    assert wrong(technician.post(path, rows, status=400)) == [
        ("/1/check", "check-unknown"),
        ("/2/check", "not-in-this-action"),
        ("/2/note", "note-outside-compass"),
        ("/3/note", "given-twice"),
        ("/4/outcome", "invalid-choice"),
    ]
    assert not CheckResult.objects.exists()


def test_a_check_is_answered_once_on_a_note(technician, path):
    row = {"check": "lift-hammer", "note": "F4", "outcome": "positive"}
    technician.post(path, row)
    problem = technician.post(path, row | {"outcome": "negative"}, status=409)
    assert problem["type"].endswith("/problems/check-already-answered")
    assert wrong(problem) == [("/note", "check-already-answered")]
    technician.post(path, row | {"note": "G4"})


def test_a_grand_is_checked_as_a_grand(technician, path, grand_examined):
    row = {"check": "hold-damper", "note": "F4", "outcome": "positive"}
    technician.post(path, row, status=400)
    technician.post(f"examinations/{grand_examined.pk}/check-results", row)


def test_results_are_listed_in_their_order_and_filtered(technician, path):
    rows = [
        {"check": "lift-hammer", "note": note, "outcome": outcome}
        for note, outcome in [("C5", "positive"), ("C4", "negative")]
    ]
    technician.post(path, rows)

    def found(query):
        return [item["note"] for item in technician.get(f"{path}{query}")["items"]]

    assert found("") == ["C5", "C4"]
    assert found("?order=note_midi") == ["C4", "C5"]
    assert found("?outcome=negative") == ["C4"]
    assert found("?note=C52&naming=key_number") == ["C5"]
    assert found("?check=hold-damper") == []


def test_a_result_is_removed_as_it_was_read(technician, path):
    row = {"check": "lift-hammer", "note": "F4", "outcome": "positive"}
    [item] = technician.post(path, row)["items"]
    address = f"check-results/{item['id']}"
    assert technician.get(address) == item
    assert technician("DELETE", address).status_code == 428
    technician.remove(address)
    technician.get(address, status=404)


def test_nobody_else_records_results(nobody, path):
    nobody.post(path, {"check": "lift-hammer", "outcome": "positive"}, status=401)
