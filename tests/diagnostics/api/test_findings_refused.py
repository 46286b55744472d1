import pytest

from tests.diagnostics.api.conftest import stored, wrong
from tests.factories.diagnostics import (
    ExaminationFactory,
)
from tests.factories.shop import InstrumentFactory


def test_a_name_of_the_other_naming_is_refused_where_it_cannot_be_a_note(technician, findings_path):
    problem = technician.post(findings_path, {"note": "C40", "fault": "slow-return"}, status=400)
    assert wrong(problem) == [("/note", "note-outside-compass")]
    assert "key_number" in problem["detail"]
    assert stored() == []


def test_an_unknown_naming_is_refused(technician, findings_path):
    row = {"note": "C4", "fault": "slow-return"}
    problem = technician.post(f"{findings_path}?naming=solfege", row, status=400)
    assert wrong(problem) == [("naming", "invalid-choice")]


def test_every_wrong_row_is_named_and_nothing_is_stored(technician, findings_path):
    rows = [
        {"note": "C4", "fault": "slow-return"},
        {"note": "C9", "fault": "slow-return"},
        {"note": "C4", "fault": "squeaks", "cause": "gremlins"},
        {"note": "D4", "fault": "slow-return", "severity": "dreadful"},
        {"note": "E4", "fault": "slow-return", "down_weight_g": -5},
        {"note": "F4", "fault": "slow-return", "colour": "red"},
        {"note": "C4", "fault": "slow-return"},
        {"note": "G4-", "fault": "slow-return"},
        "F4",
    ]
    problem = technician.post(findings_path, rows, status=400)
    assert problem["type"].endswith("/problems/invalid-input")
    assert wrong(problem) == [
        ("/1/note", "note-outside-compass"),
        ("/2/fault", "fault-unknown"),
        ("/2/cause", "cause-unknown"),
        ("/3/severity", "invalid-choice"),
        ("/4/down_weight_g", "min-value"),
        ("/5/colour", "unknown-member"),
        ("/6/note", "given-twice"),
        ("/7/note", "note-unreadable"),
        ("/8", "invalid"),
    ]
    assert stored() == []


def test_wrong_rows_of_a_sheet_are_named_by_their_line(technician, findings_path):
    sheet = "note,fault\nF4,slow-return\nH4,slow-return\n\nC4,squeaks\n"
    problem = technician.post(findings_path, sheet, status=400)
    assert wrong(problem) == [("/1/note", "note-unreadable"), ("/2/fault", "fault-unknown")]
    assert [error["detail"].partition(":")[0] for error in problem["errors"]] == [
        "Line 3",
        "Line 5",
    ]
    assert stored() == []


def test_a_sheet_in_another_encoding_is_refused(technician, findings_path):
    sheet = "note,fault,comment\nF4,slow-return,träge\n"
    problem = technician.post(
        findings_path, sheet.encode("latin-1"), status=400, content_type="text/csv"
    )
    assert problem["type"].endswith("/problems/malformed-csv")
    assert "line 2" in problem["detail"]
    assert technician.post(
        findings_path, sheet.encode("utf-8-sig"), status=201, content_type="text/csv"
    )["items"]


def test_a_sheet_with_an_unknown_column_is_refused(technician, findings_path):
    problem = technician.post(findings_path, "note,fault,colour\nF4,slow-return,red\n", status=400)
    assert problem["type"].endswith("/problems/malformed-csv")
    assert "'colour'" in problem["detail"]


@pytest.mark.parametrize(
    ("body", "code"),
    [
        (b'{"note": "F4", "fault": ', "malformed-json"),
        (b'{"note": "F4", "note": "F5", "fault": "slow-return"}', "malformed-json"),
        (b"[" * 100_000, "malformed-json"),
        (b'{"note": "F4\\u0000", "fault": "slow-return"}', "invalid-input"),
        (b'{"note": 99999999999999999999, "fault": "slow-return"}', "invalid-input"),
        (b"[]", "invalid-input"),
        (b"7", "invalid-input"),
    ],
)
def test_a_body_that_is_no_list_of_findings_is_refused(technician, findings_path, body, code):
    problem = technician.post(findings_path, body, status=400, content_type="application/json")
    assert problem["type"].endswith(f"/problems/{code}")
    assert stored() == []


def test_too_many_findings_in_one_request_are_refused(technician, findings_path):
    rows = [{"note": "all", "fault": "slow-return", "cause": "tight-centre"}] * 30
    problem = technician.post(findings_path, rows, status=400)
    assert wrong(problem) == [("/22/note", "too-many-notes")]  # 23 times 88 is 2024
    assert stored() == []


def test_a_grand_has_no_bridle_straps(technician, grand_examined, upright_examined, catalogue):
    row = {"note": "F4", "fault": "slow-return", "component": "bridle-strap"}
    technician.post(f"examinations/{upright_examined.pk}/findings", row)
    path = f"examinations/{grand_examined.pk}/findings"
    problem = technician.post(path, row | {"fault": "strap-off"}, status=400)
    assert wrong(problem) == [
        ("/fault", "not-in-this-action"),
        ("/component", "not-in-this-action"),
    ]
    assert not grand_examined.findings.exists()


def test_the_compass_is_the_instruments_own(technician, catalogue):
    # 85 notes end at A7; 97 begin at C0, 16.4 Hz (facts of the trade, common practice).
    short = ExaminationFactory(instrument=InstrumentFactory(highest_midi=105))
    long = ExaminationFactory(instrument=InstrumentFactory(lowest_midi=12))
    top, bottom = ({"note": note, "fault": "slow-return"} for note in ("C8", "C0"))
    problem = technician.post(f"examinations/{short.pk}/findings", top, status=400)
    assert wrong(problem) == [("/note", "note-outside-compass")]
    problem = technician.post(f"examinations/{short.pk}/findings", bottom, status=400)
    assert wrong(problem) == [("/note", "note-outside-compass")]
    [item] = technician.post(f"examinations/{long.pk}/findings", bottom)["items"]
    assert (item["key_number"], item["key_name"]) == (1, "C1")


@pytest.mark.parametrize(
    ("measured", "pointer", "code"),
    [
        ({"friction_g": 9}, "/friction_radius_mm", "radius-missing"),
        ({"friction_radius_mm": 23}, "/friction_g", "radius-missing"),
        ({"swings": 7}, "/swings_counted", "swing-count-missing"),
        ({"swings_counted": "passes"}, "/swings", "swing-count-missing"),
        ({"swings": 7, "swings_counted": "twice"}, "/swings_counted", "invalid-choice"),
        ({"friction_g": -1, "friction_radius_mm": 23}, "/friction_g", "min-value"),
        ({"friction_g": 9, "friction_radius_mm": 0}, "/friction_radius_mm", "min-value"),
        ({"friction_g": 9, "friction_radius_mm": 301}, "/friction_radius_mm", "max-value"),
        ({"friction_g": 101, "friction_radius_mm": 23}, "/friction_g", "max-value"),
        ({"swings": 61, "swings_counted": "passes"}, "/swings", "max-value"),
        ({"down_weight_g": 301}, "/down_weight_g", "max-value"),
        ({"up_weight_g": -1}, "/up_weight_g", "min-value"),
        ({"key_friction_g": 101}, "/key_friction_g", "max-value"),
        ({"key_dip_mm": 31}, "/key_dip_mm", "max-value"),
        ({"pin_diameter_um": 20}, "/pin_diameter_um", "min-value"),
        ({"pin_diameter_um": 3001}, "/pin_diameter_um", "max-value"),
        ({"key_dip_mm": "NaN"}, "/key_dip_mm", "invalid"),
        ({"key_dip_mm": 9.8125}, "/key_dip_mm", "max-decimal-places"),
    ],
)
def test_a_measurement_that_no_piano_gives_is_refused(
    technician, findings_path, measured, pointer, code
):
    row = {"note": "F4", "fault": "slow-return", **measured}
    assert wrong(technician.post(findings_path, row, status=400)) == [(pointer, code)]
    assert stored() == []


def test_a_finding_that_is_recorded_already_is_a_conflict(technician, findings_path):
    technician.post(findings_path, {"note": "C4-E4", "fault": "slow-return"})
    rows = [
        {"note": "F4", "fault": "slow-return"},
        {"note": "D4-G4", "fault": "slow-return", "cause": ""},
    ]
    problem = technician.post(findings_path, rows[1:], status=409)
    assert problem["type"].endswith("/problems/finding-exists")
    assert wrong(problem) == [("/0/note", "finding-exists")]
    assert "D4-E4" in problem["detail"]
    assert len(stored()) == 5
    technician.post(findings_path, rows[:1])


def test_the_same_row_twice_in_one_request_is_refused(technician, findings_path):
    rows = [{"note": "C4-E4", "fault": "slow-return"}, {"note": "D4,F4", "fault": "slow-return"}]
    problem = technician.post(findings_path, rows, status=400)
    assert wrong(problem) == [("/1/note", "given-twice")]
    assert "D4" in problem["detail"]
    other_fault = [rows[0], rows[1] | {"fault": "strap-off"}]
    assert len(technician.post(findings_path, other_fault)["items"]) == 7


def test_findings_of_an_examination_that_there_is_not_are_not_found(technician, catalogue):
    technician.get("examinations/987654/findings", status=404)
    row = {"note": "F4", "fault": "slow-return"}
    technician.post("examinations/987654/findings", row, status=404)
