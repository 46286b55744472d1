from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from billing.models import Fee, FeeKind, LabourRate
from diagnostics.models import Cause, Examination, Remedy
from tests.factories.billing import FeeFactory
from tests.factories.diagnostics import ExaminationFactory, FindingFactory, RemedyFactory


def plans(caller, workshop, query="", status=200):
    response = caller.get(f"/examinations/{workshop.examination.pk}/plans{query}")
    assert response.status_code == status, response.content
    return response.json()


def test_both_plans_stand_side_by_side(technician, damp):
    damp.find(range(40, 70))
    found = plans(technician, damp)
    # 30 flanges: 20 minutes of set-up and 4 for each, a pin of 0.40 for each, 60.00 an hour, 25.00
    # of travel.
    now = found["now"]
    assert (now["visits"], now["net_expected"]) == (1, "177.00")
    # PERT: deviations of 10 / 6 and of 30 times 2 / 6 minutes; 1.28155 of them are the tenths.
    assert (now["net_low"], now["net_high"]) == ("164.01", "190.00")
    room_first = found["room_first"]
    assert room_first["visits"] == 2
    # 25.00 of travel, 15 minutes, a hygrometer of 28.00.
    assert room_first["first_visit_net_expected"] == "68.00"
    assert (room_first["notes_waiting"], room_first["notes_waiting_count"]) == ("E2-A4", 30)
    # 6 in 10 of 30; scipy's betabinom(30, 3, 2) has its tenths at 9 and 26.
    assert room_first["cured_expected"] == "18"
    assert (room_first["cured_low"], room_first["cured_high"]) == (9, 26)
    assert room_first["treated_by"] == ["room-first"]
    # Again 25.00 of travel, and of the work 4 in 10; the set-up unless all are cured, which the
    # beta function has in 12 of 1122 rooms.
    expected = 68 + 25 + 12 * Decimal("4.40") + 20 * (1 - Decimal(12) / 1122)
    assert room_first["net_expected"] == f"{expected:.2f}"


# Common practice: widespread sticking in a damp room, the room first.
def test_a_damp_room_with_many_slow_notes_advises_the_room_first(technician, damp):
    damp.find(range(40, 70))
    found = plans(technician, damp)
    assert found["advice"]["plan"] == "room_first"
    assert found["hindrance"] is None
    assert found["rests_on"]["room"]["state"] == "damp"
    assert found["rests_on"]["is_widespread"] is True


def test_two_tight_notes_are_cheaper_repaired_now_even_in_a_damp_room(technician, damp):
    damp.find([60, 75])
    found = plans(technician, damp)
    assert found["advice"]["plan"] == "now"
    assert found["rests_on"]["is_widespread"] is False
    assert found["room_first"]["cheaper_chance"] < 0.01


# Common practice: treating the room cures no debris, and is no reason to leave it.
def test_debris_is_removed_now_whatever_becomes_of_the_room(technician, damp):
    damp.find(range(40, 70))
    damp.find([60, 80], cause=Cause.objects.get(code="debris"))
    room_first = plans(technician, damp)["room_first"]
    assert room_first["notes_now"] == "C4, G#5"
    assert (room_first["notes_waiting"], room_first["notes_waiting_count"]) == ("E2-A4", 30)


def test_debris_alone_never_waits_for_the_room(technician, damp):
    damp.find(range(40, 70), cause=Cause.objects.get(code="debris"))
    found = plans(technician, damp)
    assert found["room_first"] is None
    assert found["hindrance"]["code"] == "nothing-waits"
    assert found["advice"]["plan"] == "now"


def test_single_stuck_notes_are_freed_now_and_many_wait(technician, damp):
    damp.find(range(40, 60))
    damp.find([60, 70, 80], severity="severe")
    assert plans(technician, damp)["room_first"]["notes_now"] == "C4, A#4, G#5"
    damp.find([90], severity="severe")
    assert plans(technician, damp)["room_first"]["notes_now"] == ""


def test_a_finding_on_the_whole_instrument_waits_on_every_note(technician, damp):
    damp.find([None])
    assert plans(technician, damp)["room_first"]["notes_waiting_count"] == 88


@pytest.mark.parametrize(
    ("humidity_percent", "hindrance", "advised"),
    [(45, "room-in-range", "now"), (None, "room-unmeasured", None)],
)
def test_a_room_that_explains_nothing_is_not_treated(
    technician, damp, humidity_percent, hindrance, advised
):
    damp.find(range(40, 70))
    damp.examination.instrument.readings.all().delete()
    if humidity_percent:
        damp.room_is(humidity_percent)
    found = plans(technician, damp)
    assert found["room_first"] is None
    assert found["hindrance"]["code"] == hindrance
    assert found["advice"] == {"plan": advised, "sentence": found["hindrance"]["sentence"]}
    assert found["now"]["net_expected"] == "177.00"


def test_a_room_that_was_treated_is_not_treated_again(technician, damp):
    first = ExaminationFactory(follow_up=True, instrument=damp.examination.instrument).follows
    Examination.objects.filter(pk=damp.examination.pk).update(follows=first, room_was_treated=True)
    damp.find(range(40, 70))
    assert plans(technician, damp)["hindrance"]["code"] == "treated-already"


def test_without_a_remedy_that_treats_the_room_there_is_one_plan(technician, damp):
    Remedy.objects.update(treats_room=False)
    damp.find(range(40, 70))
    assert plans(technician, damp)["hindrance"]["code"] == "no-treatment"


def test_the_room_is_treated_as_a_finding_asks_or_the_caller(technician, damp):
    damp.find(range(40, 70))
    system = RemedyFactory(
        code="humidity-system", charged_per="instrument", treats_room=True, actions=["upright"]
    )
    RemedyFactory(code="for-grands", charged_per="instrument", treats_room=True, actions=["grand"])
    asked = plans(technician, damp, "?room_remedy=humidity-system")["room_first"]
    assert asked["treated_by"] == ["humidity-system"]
    problem = plans(technician, damp, "?room_remedy=for-grands", status=409)
    assert problem["type"].endswith("/problems/room-remedy-unknown")
    FindingFactory(examination=damp.examination, note_midi=None, remedy=system)
    found = plans(technician, damp)
    assert found["room_first"]["treated_by"] == ["humidity-system"]
    # The finding asks for it in either plan: then only the second visit's travel comes on top.
    assert Decimal(found["now"]["net_expected"]) > 177


def test_follow_ups_move_what_the_room_is_expected_to_cure(technician, damp):
    damp.find(range(40, 70))
    before = plans(technician, damp)
    assert "cure-rate-estimated" in [each["code"] for each in before["warnings"]]
    again = ExaminationFactory(follow_up=True, room_was_treated=True)
    for note in range(40, 50):
        FindingFactory(
            examination=again.follows, note_midi=note, fault=damp.fault, cause=damp.cause
        )
    FindingFactory(examination=again, note_midi=40, fault=damp.fault, cause=damp.cause)
    found = plans(technician, damp)
    # A beta distribution of (3, 2), and 9 of 10 cured: its mean is 12 of 15.
    rate = found["rests_on"]["cure_rate"]
    assert (rate["followed"], rate["cured"], rate["share"], rate["weight"]) == (10, 9, 0.8, "15")
    assert found["room_first"]["cured_expected"] == "24"
    assert "cure-rate-estimated" not in [each["code"] for each in found["warnings"]]


def test_the_answer_warns_until_two_readings_in_a_row_are_in_range(technician, damp):
    damp.find(range(40, 70))
    for day, humidity_percent, settled in ((1, 45, 1), (2, 70, 0), (3, 50, 1), (4, 42, 2)):
        damp.room_is(humidity_percent, days_later=day)
        found = plans(technician, damp)
        assert found["rests_on"]["settled_readings"] == settled
        warned = "room-not-settled" in [each["code"] for each in found["warnings"]]
        assert warned is (settled < 2)


def test_findings_without_a_remedy_are_in_neither_plan(technician, damp):
    damp.find([60, 61])
    damp.find([62], cause=None)
    found = plans(technician, damp)
    assert found["rests_on"]["undecided_count"] == 1
    assert found["warnings"][0]["code"] == "findings-undecided"
    assert found["room_first"]["notes_waiting"] == "C4, C#4"


def test_a_visit_costs_the_minimum_charge_at_least(technician, damp):
    FeeFactory(code="minimum", kind=FeeKind.MINIMUM, amount=400)
    damp.find([60])
    found = plans(technician, damp)
    assert found["now"]["net_expected"] == "400.00"
    assert found["room_first"]["net_low"] == found["room_first"]["net_high"] == "800.00"


def test_an_examination_without_findings_has_no_plans(technician, damp):
    problem = plans(technician, damp, status=409)
    assert problem["type"].endswith("/problems/nothing-to-quote")


@pytest.mark.parametrize(
    ("missing", "code"), [(LabourRate, "labour-rate-missing"), (Fee, "fee-unknown")]
)
def test_plans_need_prices(technician, damp, missing, code):
    damp.find([60])
    missing.objects.all().delete()
    assert plans(technician, damp, status=409)["type"].endswith(f"/problems/{code}")


def test_plans_cost_the_same_statements_for_one_note_and_for_all(technician, damp):
    def statements():
        with CaptureQueriesContext(connection) as captured:
            plans(technician, damp)
        return len(captured)

    damp.find([60])
    few = statements()
    damp.find([*range(21, 60), *range(61, 109)])
    damp.find([60, 61], cause=Cause.objects.get(code="debris"))
    assert statements() == few <= 35
