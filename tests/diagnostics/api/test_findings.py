import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from diagnostics.models import Finding, Measurement
from tests.diagnostics.api.conftest import wrong
from tests.factories.diagnostics import (
    BenchWorkFactory,
    CauseFactory,
    ComponentFactory,
    ExaminationFactory,
    FaultFactory,
    FindingFactory,
    MeasurementFactory,
    RemedyFactory,
)
from tests.factories.shop import InstrumentFactory


@pytest.fixture
def catalogue(db):
    """A little of an upright's troubles; no grand has bridle straps."""
    FaultFactory(code="slow-return")
    FaultFactory(code="strap-off", actions=["upright"])
    ComponentFactory(code="hammer-flange")
    ComponentFactory(code="bridle-strap", actions=["upright", "spinet"])
    RemedyFactory(code="repin")
    CauseFactory(code="tight-centre")


@pytest.fixture
def findings_path(upright_examined, catalogue):
    return f"examinations/{upright_examined.pk}/findings"


def stored():
    return list(Finding.objects.order_by("id").values_list("note_midi", "fault__code"))


def test_one_object_is_stored_as_one_finding(technician, findings_path, upright_examined):
    row = {
        "note": "F#4",
        "fault": "slow-return",
        "component": "hammer-flange",
        "cause": "tight-centre",
        "remedy": "repin",
        "severity": "severe",
        "comment": "Since the boiler was renewed.",
    }
    [item] = technician.post(findings_path, row)["items"]
    finding = Finding.objects.get()
    assert item["id"] == finding.pk
    assert item["examination"] == finding.examination_id == upright_examined.pk
    # F#4 is MIDI 66 and the 46th key of 88: A4 is MIDI 69 and key 49 (MIDI 1.0; common practice).
    assert [item[name] for name in ("note_midi", "key_number", "note", "key_name")] == [
        66,
        46,
        "F#4",
        "F#46",
    ]
    assert {name: item[name] for name in row if name != "note"} == {
        name: value for name, value in row.items() if name != "note"
    }
    assert finding.note_midi == 66
    assert finding.remedy.code == "repin"


def test_a_finding_without_a_note_is_on_the_whole_instrument(technician, findings_path):
    items = technician.post(findings_path, [{"fault": "slow-return", "note": None}])["items"]
    assert [(item["note_midi"], item["key_number"], item["note"]) for item in items] == [
        (None, None, None)
    ]


# Middle C is the 40th of 88 keys, C4 and MIDI 60; A0 the first and MIDI 21 (MIDI 1.0, ISO 16's
# octave names; common practice).
@pytest.mark.parametrize(
    ("naming", "note", "midi"),
    [
        ("scientific", "C4", 60),
        ("scientific", "A1", 33),
        ("scientific", 40, 60),
        ("scientific", "40", 60),
        ("key_number", "C40", 60),
        ("key_number", "A1", 21),
        ("key_number", 40, 60),
        ("midi", 60, 60),
    ],
)
def test_a_note_is_read_in_the_naming_that_the_request_states(
    technician, findings_path, naming, note, midi
):
    row = {"note": note, "fault": "slow-return"}
    technician.post(f"{findings_path}?naming={naming}", row)
    assert stored() == [(midi, "slow-return")]


def test_without_a_naming_names_are_scientific(technician, findings_path):
    technician.post(findings_path, {"note": "A1", "fault": "slow-return"})
    assert stored() == [(33, "slow-return")]


def test_a_name_of_the_other_naming_is_refused_where_it_cannot_be_a_note(technician, findings_path):
    problem = technician.post(findings_path, {"note": "C40", "fault": "slow-return"}, status=400)
    assert wrong(problem) == [("/note", "note-outside-compass")]
    assert "key_number" in problem["detail"]
    assert stored() == []


def test_an_unknown_naming_is_refused(technician, findings_path):
    row = {"note": "C4", "fault": "slow-return"}
    problem = technician.post(f"{findings_path}?naming=solfege", row, status=400)
    assert wrong(problem) == [("naming", "invalid-choice")]


def test_a_range_and_a_list_of_notes_give_a_finding_for_each(technician, findings_path):
    answer = technician.post(findings_path, {"note": "A0-C2,F4,sharps C8", "fault": "x"}, status=400)
    assert ("/note", "note-none") in wrong(answer)
    row = {"note": "A0-C1,F4,naturals B7-C8", "fault": "slow-return"}
    items = technician.post(findings_path, row)["items"]
    assert [item["note"] for item in items] == ["A0", "A#0", "B0", "C1", "F4", "B7", "C8"]


def test_a_list_is_stored_in_its_order(technician, findings_path):
    rows = [
        {"note": "C5", "fault": "strap-off"},
        {"note": "C4", "fault": "slow-return"},
        {"note": "C4", "fault": "strap-off"},
    ]
    items = technician.post(findings_path, rows)["items"]
    assert [(item["note"], item["fault"]) for item in items] == [
        (row["note"], row["fault"]) for row in rows
    ]


def test_a_sheet_is_stored_like_a_list(technician, findings_path):
    sheet = (
        "note;fault;component;friction_g;friction_radius_mm;comment\n"
        'F4;slow-return;hammer-flange;9;23;"damp; and\nstiff"\n'
        "\n"
        "A0-B0;strap-off;;;;\n"
    )
    items = technician.post(findings_path, sheet)["items"]
    assert [(item["note"], item["fault"], item["friction_g"]) for item in items] == [
        ("F4", "slow-return", "9"),
        ("A0", "strap-off", None),
        ("A#0", "strap-off", None),
        ("B0", "strap-off", None),
    ]
    assert items[0]["comment"] == "damp; and\nstiff"


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
    assert wrong(problem) == [("/22/note", "too-many-findings")]  # 23 times 88 is 2024
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


def test_measured_values_come_back_as_they_were_sent(technician, findings_path):
    measured = {
        "friction_g": "9",
        "friction_radius_mm": "23",
        "swings": "7",
        "swings_counted": "passes",
        "down_weight_g": "52",
        "up_weight_g": "28",
        "key_friction_g": "6.5",
        "key_dip_mm": "9.8",
        "pin_diameter_um": "1270",
    }
    row = {"note": "F4", "fault": "slow-return", **measured}
    [item] = technician.post(findings_path, row)["items"]
    assert {name: item[name] for name in measured} == measured
    assert technician.get(f"findings/{item['id']}") == item
    assert Measurement.objects.count() == 7


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


def counted(caller, path, body, key):
    with CaptureQueriesContext(connection) as statements:
        caller.post(path, body, Idempotency_Key=key)
    return [query["sql"] for query in statements.captured_queries]


def test_88_findings_take_as_few_statements_as_one(technician, upright_examined, catalogue):
    path = f"examinations/{upright_examined.pk}/findings"
    row = {
        "fault": "slow-return",
        "component": "hammer-flange",
        "cause": "tight-centre",
        "remedy": "repin",
        "friction_g": 9,
        "friction_radius_mm": 23,
    }
    one = counted(technician, path, row | {"note": 1, "fault": "strap-off"}, "one")
    rows = [row | {"note": number} for number in range(1, 89)]
    many = counted(technician, path, rows, "many")
    assert len(stored()) == 89
    assert len(many) == len(one)
    assert len(many) < 15, "\n".join(many)


def test_the_same_key_does_not_store_findings_twice(technician, findings_path):
    row = {"note": "F4", "fault": "slow-return"}
    first = technician.post(findings_path, row, Idempotency_Key="k1")
    assert technician.post(findings_path, row, Idempotency_Key="k1") == first
    assert len(stored()) == 1


def test_findings_of_an_examination_that_there_is_not_are_not_found(technician, catalogue):
    technician.get("examinations/987654/findings", status=404)
    row = {"note": "F4", "fault": "slow-return"}
    technician.post("examinations/987654/findings", row, status=404)


def test_the_list_is_by_note_and_filtered_by_fault_and_note(technician, findings_path):
    rows = [
        {"fault": "slow-return"},
        {"note": "C5", "fault": "strap-off"},
        {"note": "C4", "fault": "slow-return"},
        {"note": "C4", "fault": "strap-off"},
    ]
    technician.post(findings_path, rows)

    def found(query):
        items = technician.get(f"{findings_path}{query}")["items"]
        return [(item["note"], item["fault"]) for item in items]

    assert found("") == [
        ("C4", "slow-return"),
        ("C4", "strap-off"),
        ("C5", "strap-off"),
        (None, "slow-return"),
    ]
    assert found("?fault=slow-return") == [("C4", "slow-return"), (None, "slow-return")]
    assert found("?note=naturals%20C5-D5") == [("C5", "strap-off")]
    assert found("?note=C40&naming=key_number") == [("C4", "slow-return"), ("C4", "strap-off")]
    problem = technician.get(f"{findings_path}?note=C40", status=400)
    assert wrong(problem) == [("note", "note-outside-compass")]


def test_the_list_is_paged_over_the_notes_and_the_whole_instrument(technician, findings_path):
    technician.post(findings_path, [{"fault": "slow-return"}, {"fault": "slow-return", "note": "all"}])
    notes, address = [], f"{findings_path}?limit=40"
    while address:
        page = technician.get(address)
        notes += [item["key_number"] for item in page["items"]]
        address = page.get("next")
    assert notes == [*range(1, 89), None]


def test_findings_of_all_examinations_are_filtered_by_instrument_and_midi_number(technician, db):
    here = FindingFactory(note_midi=66)
    FindingFactory(note_midi=67, examination=here.examination)
    FindingFactory(note_midi=66)
    instrument = here.examination.instrument_id

    def found(query):
        return [item["id"] for item in technician.get(f"findings{query}")["items"]]

    assert found(f"?instrument={instrument}&note_midi=66,68") == [here.pk]
    assert len(found(f"?instrument={instrument}")) == 2
    assert len(found("")) == 3
    assert wrong(technician.get("findings?note_midi=66,x", status=400)) == [("note_midi", "invalid")]


@pytest.mark.parametrize("path", ["findings", "examinations/{}/findings"])
def test_a_list_takes_as_few_statements_for_five_as_for_one(technician, upright_examined, path):
    address = path.format(upright_examined.pk)

    def statements():
        with CaptureQueriesContext(connection) as captured:
            technician.get(address)
        return len(captured)

    FindingFactory(examination=upright_examined, note_midi=40)
    MeasurementFactory(finding__examination=upright_examined)
    few = statements()
    for midi in range(61, 65):
        MeasurementFactory(finding__examination=upright_examined, finding__note_midi=midi)
    assert statements() == few


def test_what_is_thought_of_a_finding_can_be_changed(technician, findings_path):
    row = {"note": "F4", "fault": "slow-return", "component": "bridle-strap"}
    [item] = technician.post(findings_path, row)["items"]
    changes = {"component": None, "cause": "tight-centre", "remedy": "repin", "severity": "slight"}
    changed = technician.change(f"findings/{item['id']}", changes)
    assert changed == item | changes
    finding = Finding.objects.get()
    assert (finding.component, finding.cause.code) == (None, "tight-centre")


def test_a_change_names_every_code_that_there_is_not(technician, findings_path, grand_examined):
    finding = FindingFactory(examination=grand_examined)
    changes = {"component": "bridle-strap", "cause": "gremlins", "fault": "slow-return"}
    path = f"findings/{finding.pk}"
    assert wrong(technician.change(path, changes, status=400)) == [("/fault", "unknown-member")]
    del changes["fault"]
    assert wrong(technician.change(path, changes, status=400)) == [
        ("/component", "not-in-this-action"),
        ("/cause", "cause-unknown"),
    ]


def test_a_change_into_another_finding_is_a_conflict(technician, findings_path):
    rows = [{"note": "F4", "fault": "slow-return", "cause": cause} for cause in ("", "tight-centre")]
    first, _ = technician.post(findings_path, rows)["items"]
    problem = technician.change(f"findings/{first['id']}", {"cause": "tight-centre"}, status=409)
    assert problem["type"].endswith("/problems/finding-exists")


def test_a_change_needs_the_tag_of_what_was_read(technician, findings_path):
    [item] = technician.post(findings_path, {"note": "F4", "fault": "slow-return"})["items"]
    path = f"findings/{item['id']}"
    old = technician("GET", path)["ETag"]
    assert technician("PATCH", path, {"comment": "x"}).status_code == 428
    technician.change(path, {"comment": "x"})
    assert technician("PATCH", path, {"comment": "y"}, If_Match=old).status_code == 412
    assert technician("DELETE", path, If_Match=old).status_code == 412
    assert Finding.objects.get().comment == "x"


def test_a_finding_is_deleted_unless_it_was_worked_on(technician, findings_path):
    items = technician.post(findings_path, {"note": "F4,G4", "fault": "slow-return"})["items"]
    worked_on = Finding.objects.get(pk=items[0]["id"])
    BenchWorkFactory(examination=worked_on.examination, finding=worked_on)
    problem = technician.remove(f"findings/{worked_on.pk}", status=409)
    assert problem["type"].endswith("/problems/in-use")
    technician.remove(f"findings/{items[1]['id']}")
    assert [finding.pk for finding in Finding.objects.all()] == [worked_on.pk]


def test_everyone_of_the_shop_and_nobody_else_records_findings(
    technician, office, owner, nobody, findings_path
):
    for caller, note in ((technician, "C4"), (office, "D4"), (owner, "E4")):
        caller.post(findings_path, {"note": note, "fault": "slow-return"})
    nobody.post(findings_path, {"note": "F4", "fault": "slow-return"}, status=401)
    nobody.get(findings_path, status=401)
    assert len(stored()) == 3
