from datetime import timedelta

import pytest
from django.utils import timezone

from diagnostics.models import CheckResult, Examination, Finding
from tests.diagnostics.api.conftest import wrong
from tests.factories.billing import QuoteFactory
from tests.factories.diagnostics import (
    BenchWorkFactory,
    CheckResultFactory,
    ExaminationFactory,
    FindingFactory,
)
from tests.factories.shop import InstrumentFactory, UserFactory, VisitFactory


@pytest.fixture
def instrument(db):
    return InstrumentFactory()


def body(instrument, **values):
    return {"instrument": instrument.pk, "examined_at": "2026-02-03T10:00:00+01:00", **values}


def test_an_examination_is_the_callers_own_unless_it_says_whose(technician, office, instrument):
    answer = technician.post("examinations", body(instrument, complaint="Some keys stick."))
    examination = Examination.objects.get(pk=answer["id"])
    assert answer["technician"] == examination.technician_id == technician.user.pk
    assert answer["examined_at"] == "2026-02-03T09:00:00Z"
    assert answer["client"] == instrument.site.client_id
    assert (answer["notes_examined"], answer["notes_examined_midi"]) == ("", [])
    other = office.post("examinations", body(instrument, technician=technician.user.pk))
    assert other["technician"] == technician.user.pk


def test_a_technician_does_not_examine_in_anothers_name(technician, owner, instrument):
    sent = body(instrument, technician=UserFactory().pk)
    problem = technician.post("examinations", sent, status=403)
    assert problem["type"].endswith("/problems/forbidden")
    assert wrong(problem) == [("/technician", "not-yourself")]
    assert not Examination.objects.exists()
    owner.post("examinations", sent)


def test_the_address_of_a_new_examination_leads_to_it_and_to_its_rows(technician, instrument):
    response = technician("POST", "examinations", body(instrument))
    answer = technician.get(response["Location"])
    assert answer == response.json()
    finding = FindingFactory(examination_id=answer["id"])
    FindingFactory(examination_id=answer["id"])
    CheckResultFactory(examination_id=answer["id"])
    CheckResultFactory()
    answer = technician.get(response["Location"])
    assert (answer["findings_count"], answer["check_results_count"]) == (2, 1)
    assert technician.get(answer["findings_url"])["items"][0]["id"] == finding.pk
    assert len(technician.get(answer["check_results_url"])["items"]) == 1


def test_the_notes_tried_are_read_in_a_naming_and_shown_in_all(technician, instrument):
    sent = body(instrument, notes_examined="A1-C4,C40", naming="key_number")
    answer = technician.post("examinations", sent)
    # Keys 1 to 4 of 88 are A0 to C1, key 40 middle C; A0 is MIDI 21 (common practice; MIDI 1.0).
    assert answer["notes_examined"] == "A0-C1, C4"
    assert answer["notes_examined_midi"] == [21, 22, 23, 24, 60]
    assert answer["keys_examined"] == [1, 2, 3, 4, 40]


@pytest.mark.parametrize(
    ("values", "pointer", "code"),
    [
        ({"notes_examined": "C4,C9"}, "/notes_examined", "note-outside-compass"),
        ({"notes_examined": "H4"}, "/notes_examined", "note-unreadable"),
        ({"naming": "solfege"}, "/naming", "invalid-choice"),
        ({"instrument": 987654}, "/instrument", "does-not-exist"),
        ({"visit": 987654}, "/visit", "does-not-exist"),
        ({"technician": 987654}, "/technician", "does-not-exist"),
        ({"examined_at": "2026-02-03T10:00:00"}, "/examined_at", "no-offset"),
        ({"examined_at": "yesterday"}, "/examined_at", "invalid"),
        ({"colour": "red"}, "/colour", "unknown-member"),
    ],
)
def test_an_examination_that_cannot_be_is_refused(owner, instrument, values, pointer, code):
    problem = owner.post("examinations", body(instrument) | values, status=400)
    assert wrong(problem) == [(pointer, code)]
    assert not Examination.objects.exists()


def test_an_examination_is_not_still_to_come(technician, instrument):
    now = timezone.now()
    tomorrow, soon = now + timedelta(days=1), now + timedelta(minutes=1)
    sent = body(instrument, examined_at=tomorrow.isoformat())
    assert wrong(technician.post("examinations", sent, status=400)) == [
        ("/examined_at", "in-the-future")
    ]
    technician.post("examinations", body(instrument, examined_at=soon.isoformat()))


def test_an_examination_belongs_to_a_visit_of_the_instruments_site(technician, instrument):
    elsewhere, here = VisitFactory(), VisitFactory(site=instrument.site)
    problem = technician.post("examinations", body(instrument, visit=elsewhere.pk), status=400)
    assert wrong(problem) == [("/visit", "visit-elsewhere")]
    assert technician.post("examinations", body(instrument, visit=here.pk))["visit"] == here.pk


def test_an_examination_is_changed_as_it_was_read(technician, upright_examined):
    path = f"examinations/{upright_examined.pk}"
    old = technician("GET", path)["ETag"]
    changes = {"comment": "Boiler behind the wall.", "notes_examined": "naturals C4-E4"}
    answer = technician.change(path, changes)
    assert answer["comment"] == "Boiler behind the wall."
    assert answer["notes_examined_midi"] == [60, 62, 64]
    assert technician("PATCH", path, {"comment": "x"}, If_Match=old).status_code == 412
    assert technician("PATCH", path, {"comment": "x"}).status_code == 428
    problem = technician.change(path, {"notes_examined": "C9"}, status=400)
    assert wrong(problem) == [("/notes_examined", "note-outside-compass")]
    problem = technician.change(path, {"instrument": 1}, status=400)
    assert wrong(problem) == [("/instrument", "unknown-member")]
    upright_examined.refresh_from_db()
    assert upright_examined.notes_examined == [60, 62, 64]


def test_an_examination_goes_with_its_findings(technician, upright_examined):
    FindingFactory(examination=upright_examined)
    CheckResultFactory(examination=upright_examined)
    technician.remove(f"examinations/{upright_examined.pk}")
    assert not Examination.objects.exists()
    assert not Finding.objects.exists()
    assert not CheckResult.objects.exists()


def test_an_examination_that_was_quoted_or_worked_on_stays(technician):
    quoted = QuoteFactory().examination
    worked_on = BenchWorkFactory().examination
    for examination in (quoted, worked_on):
        problem = technician.remove(f"examinations/{examination.pk}", status=409)
        assert problem["type"].endswith("/problems/in-use")
        assert "quote or bench work" in problem["detail"]
        assert Examination.objects.filter(pk=examination.pk).exists()


def test_examinations_are_listed_newest_first_and_filtered(technician, upright_examined):
    early = ExaminationFactory(
        instrument=upright_examined.instrument,
        examined_at=upright_examined.examined_at - timedelta(days=400),
    )
    ExaminationFactory()
    client = upright_examined.instrument.site.client_id

    def found(query):
        return [item["id"] for item in technician.get(f"examinations?{query}")["items"]]

    both = [upright_examined.pk, early.pk]
    assert found(f"instrument={upright_examined.instrument_id}") == both
    assert found(f"client={client}&order=examined_at") == both[::-1]
    assert found(f"technician={early.technician_id}") == [early.pk]
    assert found("examined_at_before=2026-01-01T00:00:00Z") == [early.pk]
    assert len(found("examined_at_after=2026-01-01T00:00:00Z")) == 2
    problem = technician.get("examinations?piano=1", status=400)
    assert wrong(problem) == [("piano", "unknown-parameter")]


def test_nobody_else_sees_examinations(nobody, upright_examined):
    nobody.get("examinations", status=401)
    nobody.get(f"examinations/{upright_examined.pk}", status=401)
