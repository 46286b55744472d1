from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from diagnostics.models import Examination
from tests.diagnostics.api.conftest import wrong
from tests.factories.diagnostics import (
    BenchWorkFactory,
    CauseFactory,
    ComponentFactory,
    ExaminationFactory,
    FaultFactory,
    FindingFactory,
)
from tests.factories.world import NOW


@pytest.fixture
def faults(db):
    return {code: FaultFactory(code=code) for code in ("slow-return", "noise")}


@pytest.fixture
def looked_at_again(faults):
    """C4 was cured, D4 is better, E4 worse, F4 repaired, G4 new; A4 was not looked at again."""
    again = ExaminationFactory(
        follow_up=True, room_was_treated=True, notes_examined=[60, 62, 64, 65, 67]
    )
    slow = {"fault": faults["slow-return"], "cause": CauseFactory(code="damp")}
    for note_midi in (60, 62, 64, 65, 69):
        FindingFactory(examination=again.follows, note_midi=note_midi, **slow)
    FindingFactory(examination=again, note_midi=62, severity="slight", **slow)
    FindingFactory(examination=again, note_midi=64, severity="severe", **slow)
    FindingFactory(examination=again, note_midi=67, fault=faults["noise"])
    BenchWorkFactory(
        examination=again.follows, note_midi=65, done_at=again.follows.examined_at + timedelta(1)
    )
    BenchWorkFactory(examination=again, note_midi=64, done_at=NOW + timedelta(1))
    return again


def test_a_re_examination_is_compared_note_by_note_with_what_it_follows(
    technician, looked_at_again
):
    answer = technician.get(f"examinations/{looked_at_again.pk}/comparison")
    items = answer.pop("items")
    assert answer == {
        "examination": looked_at_again.pk,
        "examined_at": "2026-03-02T09:30:00Z",
        "follows": looked_at_again.follows_id,
        "followed_examined_at": "2026-02-16T09:30:00Z",
        "room_was_treated": True,
        "notes_compared": 5,
        "counts": {
            "cured": 2,
            "better": 1,
            "unchanged": 0,
            "worse": 1,
            "new": 1,
            "not_looked_at_again": 1,
            "not_looked_at_before": 0,
        },
        "sentence": (
            "Of 4 faults looked at again: 2 cured, 1 better, 1 worse. 1 fault is new. 1 fault is on"
            " notes not looked at again."
        ),
    }
    assert [(item["note"], item["change"], item["worked_on"]) for item in items] == [
        ("C4", "cured", False),
        ("D4", "better", False),
        ("E4", "worse", False),
        ("F4", "cured", True),
        ("G4", "new", False),
        ("A4", "not_looked_at_again", False),
    ]
    assert items[1] == {
        "note_midi": 62,
        "key_number": 42,
        "note": "D4",
        "key_name": "D42",
        "fault": "slow-return",
        "component": None,
        "severity_before": "moderate",
        "severity_after": "slight",
        "change": "better",
        "worked_on": False,
    }


def test_a_fault_of_the_whole_instrument_is_compared_too(technician, faults):
    again = ExaminationFactory(follow_up=True)
    component = ComponentFactory(code="pedal-lyre")
    FindingFactory(
        examination=again.follows, note_midi=None, fault=faults["noise"], component=component
    )
    (item,) = technician.get(f"examinations/{again.pk}/comparison")["items"]
    assert (item["note"], item["key_number"], item["component"]) == (None, None, "pedal-lyre")
    assert item["change"] == "cured"


def test_an_examination_that_follows_none_has_nothing_to_compare(technician, upright_examined):
    for path in ("comparison", "comparison/keyboard"):
        problem = technician.get(f"examinations/{upright_examined.pk}/{path}", status=409)
        assert problem["type"].endswith("/problems/nothing-to-compare")


def follow_up_of(examination, **values):
    later = examination.examined_at + timedelta(days=14)
    return {
        "instrument": examination.instrument_id,
        "examined_at": later.isoformat(),
        "follows": examination.pk,
        **values,
    }


def test_a_follow_up_says_what_it_follows_and_whether_the_room_was_treated(
    technician, upright_examined
):
    sent = follow_up_of(upright_examined, room_was_treated=True)
    made = technician.post("examinations", sent)
    assert (made["follows"], made["room_was_treated"]) == (upright_examined.pk, True)
    path = f"examinations?follows={upright_examined.pk}"
    assert [each["id"] for each in technician.get(path)["items"]] == [made["id"]]
    changed = technician.change(f"examinations/{made['id']}", {"room_was_treated": False})
    assert changed["room_was_treated"] is False


@pytest.mark.parametrize("wrong_by", ["another instrument", "the same time", "no such"])
def test_a_follow_up_of_anything_else_is_refused(technician, upright_examined, wrong_by):
    sent = follow_up_of(upright_examined)
    code = "follows-not-earlier"
    if wrong_by == "another instrument":
        sent["follows"] = ExaminationFactory().pk
    elif wrong_by == "the same time":
        sent["examined_at"] = upright_examined.examined_at.isoformat()
    else:
        sent["follows"], code = 987654, "does-not-exist"
    before = Examination.objects.count()
    assert wrong(technician.post("examinations", sent, status=400)) == [("/follows", code)]
    assert Examination.objects.count() == before


def test_an_examination_is_made_a_follow_up_afterwards(technician, upright_examined):
    again = ExaminationFactory(
        instrument=upright_examined.instrument, examined_at=NOW + timedelta(days=14)
    )
    path = f"examinations/{again.pk}"
    assert technician.change(path, {"follows": upright_examined.pk})["follows"] == again.pk - 1
    problem = technician.change(path, {"follows": again.pk}, status=400)
    assert wrong(problem) == [("/follows", "follows-not-earlier")]
    assert technician.change(path, {"follows": None})["follows"] is None


def test_what_is_followed_stays_and_stays_earlier(technician):
    again = ExaminationFactory(follow_up=True)
    path = f"examinations/{again.follows_id}"
    problem = technician.remove(path, status=409)
    assert problem["type"].endswith("/problems/in-use")
    problem = technician.change(path, {"examined_at": again.examined_at.isoformat()}, status=409)
    assert problem["type"].endswith("/problems/follows-not-earlier")


def test_treating_the_room_is_said_of_a_follow_up_alone(technician, upright_examined):
    sent = follow_up_of(upright_examined, follows=None, room_was_treated=True)
    problem = technician.post("examinations", sent, status=409)
    assert problem["type"].endswith("/problems/follows-none")


def test_the_cure_report_counts_what_treating_the_room_did(technician, looked_at_again, faults):
    other = ExaminationFactory(follow_up=True, room_was_treated=True)
    FindingFactory(examination=other.follows, fault=faults["noise"])
    untreated = ExaminationFactory(follow_up=True)
    FindingFactory(examination=untreated.follows, fault=faults["noise"])
    # F4 was repaired, A4 not looked at again, and G4 was not there before.
    assert technician.get("cure-report")["items"] == [
        {"fault": "noise", "cause": None, "followed": 1, "cured": 1},
        {"fault": "slow-return", "cause": "damp", "followed": 3, "cured": 1},
    ]


def test_a_shop_without_follow_ups_has_an_empty_cure_report(technician, upright_examined):
    assert technician.get("cure-report") == {"items": []}


@pytest.mark.parametrize("path", ["examinations/{}/comparison", "cure-report"])
def test_a_comparison_costs_the_same_for_one_fault_and_for_five(technician, faults, path):
    again = ExaminationFactory(follow_up=True, room_was_treated=True)

    def statements():
        with CaptureQueriesContext(connection) as captured:
            technician.get(path.format(again.pk))
        return len(captured)

    FindingFactory(examination=again.follows)
    one = statements()
    for note_midi in range(61, 65):
        BenchWorkFactory(examination=again.follows, note_midi=note_midi, done_at=NOW)
        FindingFactory(examination=again.follows, note_midi=note_midi)
        FindingFactory(examination=again, note_midi=note_midi)
        other = ExaminationFactory(follow_up=True, room_was_treated=True)
        FindingFactory(examination=other.follows)
    assert statements() == one <= 8


def test_nobody_else_sees_a_comparison(nobody, looked_at_again):
    nobody.get(f"examinations/{looked_at_again.pk}/comparison", status=401)
    nobody.get("cure-report", status=401)
