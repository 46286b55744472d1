import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from diagnostics.api.spread_examples import SPREAD
from tests.diagnostics.api.conftest import answered
from tests.factories.diagnostics import ExaminationFactory, FaultFactory, FindingFactory
from tests.factories.shop import InstrumentFactory


@pytest.fixture
def tight(db):
    return FaultFactory(family="tight")


def found(examination, fault, *notes):
    for note in notes:
        FindingFactory(examination=examination, fault=fault, note_midi=note)


def spread_of(caller, examination):
    return caller.get(f"examinations/{examination.pk}/spread")


def test_four_neighbouring_naturals_are_a_cluster(technician, upright_examined, tight):
    found(upright_examined, tight, 60, 62, 64, 65)
    answer = spread_of(technician, upright_examined)
    assert (answer["examined_count"], answer["examined"]) == (88, "A0-C8")
    (family,) = answer["families"]
    assert (family["family"], family["name"]) == ("tight", "Tight or slow to return")
    assert (family["kind"], family["affected"]) == ("cluster", "C4, D4, E4, F4")
    assert family["sentence"] == "4 of 88 notes, a cluster at C4, D4, E4, F4, naturals only"
    assert not family["is_widespread"]
    numbers = family["numbers"]
    assert numbers["share"] == 0.0455
    # 4 of 88 within 8 neighbours: C(7, 3) ways from each of the 81 lowest notes, and 35 from the
    # others, make 2870 of C(88, 4) = 2331890 arrangements.
    widest = numbers["windows"][-1]
    assert (widest["width"], widest["count"]) == (8, 4)
    assert widest["probability"] == pytest.approx(2870 / 2331890, abs=5e-6)
    assert {each["section"] for each in numbers["sections"]} == {
        *("bass", "tenor", "treble", "naturals", "sharps"),
    }
    assert all(formula["name"] and formula["source"] for formula in family["formulas"])


def test_faults_of_a_family_are_looked_at_together(technician, upright_examined, tight):
    found(upright_examined, tight, 60)
    found(upright_examined, FaultFactory(family="tight"), 60, 61)
    found(upright_examined, FaultFactory(family="noise"), 80)
    families = spread_of(technician, upright_examined)["families"]
    assert [(each["family"], each["affected"]) for each in families] == [
        ("tight", "C4, C#4"),
        ("noise", "G#5"),
    ]


def test_the_spread_is_over_the_notes_examined_and_those_with_findings(technician, tight):
    examination = ExaminationFactory(notes_examined=[60, 62, 64, 65, 67, 69, 71])
    found(examination, tight, 60)
    family = spread_of(technician, examination)["families"][0]
    assert (family["kind"], family["numbers"], family["formulas"]) == ("too_few", None, [])
    assert family["sentence"] == "7 notes examined: too few to speak of spread"
    found(examination, tight, 72)
    answer = spread_of(technician, examination)
    assert answer["examined_count"] == 8
    assert answer["families"][0]["numbers"]["share"] == 0.25


def test_a_finding_on_the_whole_instrument_stands_for_every_note(
    technician, upright_examined, tight
):
    found(upright_examined, tight, None, 60)
    (family,) = spread_of(technician, upright_examined)["families"]
    assert (family["on_the_whole"], family["kind"]) == (True, "everywhere")
    assert (family["affected_count"], family["is_widespread"]) == (88, True)


def test_pedals_are_no_matter_of_notes(technician, upright_examined):
    found(upright_examined, FaultFactory(family="pedal"), None)
    assert spread_of(technician, upright_examined)["families"] == []


def test_the_neighbours_of_the_instruments_breaks_are_compared(technician, tight):
    examination = ExaminationFactory(instrument=InstrumentFactory(breaks_midi=[53, 76]))
    found(examination, tight, 52, 53, 75, 76)
    answer = spread_of(technician, examination)
    assert answer["breaks_midi"] == [53, 76]
    sections = {each["section"]: each for each in answer["families"][0]["numbers"]["sections"]}
    assert (sections["near_break"]["affected"], sections["near_break"]["examined"]) == (4, 8)
    assert sections["near_break"]["stands_out"]


def test_the_spread_costs_as_many_statements_for_many_findings_as_for_one(
    technician, upright_examined, tight
):
    found(upright_examined, tight, 60)
    path = f"examinations/{upright_examined.pk}/spread"
    with CaptureQueriesContext(connection) as of_one:
        technician.get(path)
    for family in ("blocked", "noise", "touch", "tone"):
        found(upright_examined, FaultFactory(family=family), *range(40, 60))
    with CaptureQueriesContext(connection) as of_many:
        answer = technician.get(path)
    assert len(answer["families"]) == 5
    assert len(of_many) == len(of_one)


def test_an_examination_that_is_not_there_has_no_spread(technician, nobody, upright_examined):
    technician.get("examinations/999999/spread", status=404)
    nobody.get(f"examinations/{upright_examined.pk}/spread", status=401)
    path = f"examinations/{upright_examined.pk}/spread"
    answered(technician("GET", f"{path}?width=3"), 400)


def test_the_spread_shown_in_the_description_is_the_one_that_is_answered(technician, tight):
    instrument = InstrumentFactory(lowest_midi=60, highest_midi=72)
    examination = ExaminationFactory(instrument=instrument)
    found(examination, tight, 64, 65)
    assert spread_of(technician, examination) == SPREAD | {"examination": examination.pk}
