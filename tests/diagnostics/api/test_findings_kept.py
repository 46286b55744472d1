from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from diagnostics.models import Finding
from shop.models import Instrument
from tests.diagnostics.api.conftest import wrong
from tests.factories.diagnostics import (
    BenchWorkFactory,
    ExaminationFactory,
    FindingFactory,
    MeasurementFactory,
)


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
    technician.post(
        findings_path, [{"fault": "slow-return"}, {"fault": "slow-return", "note": "all"}]
    )
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
    assert wrong(technician.get("findings?note_midi=66,x", status=400)) == [
        ("note_midi", "invalid")
    ]


def test_findings_of_all_examinations_are_paged_newest_first(technician, upright_examined):
    old = ExaminationFactory(examined_at=upright_examined.examined_at - timedelta(days=1))
    made = [
        FindingFactory(examination=examination).pk
        for examination in (old, upright_examined, old, upright_examined)
    ]
    found, address = [], "findings?limit=1"
    while address:
        page = technician.get(address)
        found += [item["id"] for item in page["items"]]
        address = page.get("next")
    assert found == [made[3], made[1], made[2], made[0]]


def test_a_finding_stays_readable_when_the_compass_is_corrected(technician, upright_examined):
    finding = FindingFactory(examination=upright_examined, note_midi=108)
    Instrument.objects.update(highest_midi=105)
    item = technician.get(f"findings/{finding.pk}")
    assert (item["note"], item["key_number"], item["key_name"]) == ("C8", None, None)


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
    rows = [
        {"note": "F4", "fault": "slow-return", "cause": cause} for cause in ("", "tight-centre")
    ]
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
