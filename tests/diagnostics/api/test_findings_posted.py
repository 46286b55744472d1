import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from diagnostics.models import Finding, Measurement
from tests.diagnostics.api.conftest import stored, wrong


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


def test_a_range_and_a_list_of_notes_give_a_finding_for_each(technician, findings_path):
    row = {"note": "A0-C2,F4,sharps C8", "fault": "slow-return"}
    assert wrong(technician.post(findings_path, row, status=400)) == [("/note", "note-none")]
    row["note"] = "A0-C1,F4,naturals B7-C8"
    items = technician.post(findings_path, row)["items"]
    assert [item["note"] for item in items] == ["A0", "A#0", "B0", "C1", "F4", "B7", "C8"]


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


def test_everyone_of_the_shop_and_nobody_else_records_findings(
    technician, office, owner, nobody, findings_path
):
    for caller, note in ((technician, "C4"), (office, "D4"), (owner, "E4")):
        caller.post(findings_path, {"note": note, "fault": "slow-return"})
    nobody.post(findings_path, {"note": "F4", "fault": "slow-return"}, status=401)
    nobody.get(findings_path, status=401)
    assert len(stored()) == 3
