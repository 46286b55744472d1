"""Which check comes next, over HTTP, from the catalogue that ships."""

from io import StringIO

import pytest
from django.core.management import call_command
from django.db import connection
from django.test.utils import CaptureQueriesContext

from diagnostics.models import Cause, Check, Component, Fault, Outcome, Remedy
from shop.models import ShopProfile
from tests.diagnostics.api.conftest import wrong
from tests.factories import diagnostics as rows
from tests.factories.shop import InstrumentFactory


@pytest.fixture(autouse=True)
def _loaded(db):
    call_command("load_catalogue", stdout=StringIO())


def examined(action="upright"):
    return rows.ExaminationFactory(instrument=InstrumentFactory(action=action), complaint="")


def found(on, *notes, fault="slow-return", **columns):
    row = Fault.objects.get(code=fault)
    for midi in notes:
        rows.FindingFactory(examination=on, note_midi=midi, fault=row, **columns)


def answered(on, check, midi=None, outcome=Outcome.NEGATIVE):
    made = Check.objects.get(code=check)
    rows.CheckResultFactory(examination=on, check_made=made, note_midi=midi, outcome=outcome)


@pytest.fixture
def upright():
    on = examined()
    found(on, 60)
    return on


@pytest.fixture
def next_checks(technician):
    def answer(on, query=""):
        return technician.get(f"examinations/{on.pk}/next-checks{query}")

    return answer


def asked(answer):
    """Return the check with each of the notes that it is to be made on."""
    return {(step["check"], midi) for step in answer["checks"] for midi in step["notes_midi"]}


def codes(answer):
    return [step["check"] for step in answer["checks"]]


def test_each_step_says_what_to_do_what_it_takes_why_and_what_each_answer_means(
    next_checks, upright
):
    answer = next_checks(upright)
    assert (answer["examination"], answer["sure_percent"]) == (upright.pk, "80.0")
    assert (answer["decided"], answer["nothing_left"]) == ([], [])
    step = answer["checks"][0]
    check = Check.objects.select_related("set_up").get(code=step["check"])
    assert (step["name"], step["set_up"]) == (check.name, check.set_up.code)
    assert (step["instruction"], step["reads_as"]) == (check.instruction, check.reads_as)
    assert (step["notes"], step["notes_midi"]) == ("C4", [60])
    assert step["chance_needed"] == 1
    assert step["reason"].startswith("Tells ")
    told = step["tells"][0]
    assert told["positive"]["chance"] + told["negative"]["chance"] == pytest.approx(1, abs=1e-3)
    for each in (told["positive"], told["negative"]):
        probabilities = [cause["probability"] for cause in each["causes"]]
        assert probabilities == sorted(probabilities, reverse=True)
        assert each["causes"][0]["name"] in each["meaning"]
    assert all(formula["name"] and formula["source"] for formula in answer["formulas"])


@pytest.mark.parametrize("action", ["upright", "spinet", "grand"])
def test_no_check_is_asked_that_the_action_lacks(next_checks, action):
    on = examined(action)
    found(on, 45, 60, 61)
    found(on, 70, fault="blocked-down")
    lacking = set(Check.objects.exclude(actions__contains=[action]).values_list("code", flat=True))
    asked_for = set(codes(next_checks(on)))
    assert asked_for
    assert lacking
    assert not asked_for & lacking


# Unclear is an answer too: it stands recorded, and the same check is not asked for twice.
@pytest.mark.parametrize("outcome", Outcome.values)
def test_a_check_answered_on_a_note_is_asked_on_the_other_notes_alone(next_checks, outcome):
    on = examined()
    found(on, 60, 72)
    assert {("t7", 60), ("t7", 72)} <= asked(next_checks(on))
    answered(on, "t7", 60, outcome)
    left = asked(next_checks(on))
    assert ("t7", 60) not in left
    assert outcome == Outcome.POSITIVE or ("t7", 72) in left


def test_a_check_answered_on_the_instrument_is_asked_nowhere(next_checks):
    on = examined()
    found(on, 60, 72)
    assert "t2" in codes(next_checks(on))
    answered(on, "t2")
    assert "t2" not in codes(next_checks(on))


def test_what_has_been_measured_is_not_asked_for_again(next_checks):
    ShopProfile.objects.update(cause_sure_percent="99")
    on = examined("grand")
    flange = Component.objects.get(code="hammer-shank-flange")
    found(on, 60, component=flange)
    assert "t10-grand" in codes(next_checks(on))
    rows.MeasurementFactory(finding=on.findings.get(), swings=True, value=6)
    assert "t10-grand" not in codes(next_checks(on))


def test_access_is_charged_once_and_not_at_all_where_it_is_gained_already(next_checks, upright):
    closed = next_checks(upright)
    # Three-point estimates by hand: u1 (5 + 4 * 10 + 15) / 6 = 10, u2 16.7, u3 23.3 from closed.
    paid = [step["set_up_minutes"] for step in closed["checks"] if step["set_up_minutes"]]
    assert sorted(paid, reverse=True) == [10, 6.7, 6.7]
    opened = next_checks(upright, "?opened=u3")
    assert (closed["opened"], opened["opened"]) == ("none", "u3")
    assert {step["set_up_minutes"] for step in opened["checks"]} == {0}
    assert opened["expected_minutes"] < closed["expected_minutes"]


def test_access_is_read_from_the_checks_answered_when_the_request_does_not_say(
    next_checks, upright
):
    answered(upright, "t6", 60, Outcome.UNCLEAR)
    assert next_checks(upright)["opened"] == "u2"
    assert next_checks(upright, "?opened=none")["opened"] == "none"


def test_one_note_can_be_asked_for_by_itself(next_checks):
    on = examined()
    found(on, 60, 72)
    answer = next_checks(on, "?note=C5")
    assert {step["notes"] for step in answer["checks"]} == {"C5"}
    assert next_checks(on, "?note=72&naming=midi") == answer
    assert next_checks(on, "?note=C6")["checks"] == []


def test_a_note_whose_cause_is_sure_is_not_asked_about(next_checks):
    on = examined()
    cause = Cause.objects.get(code="u-deb")
    found(on, 60, fault="blocked-down", cause=cause)
    answered(on, "t2", outcome=Outcome.POSITIVE)
    answer = next_checks(on)
    assert answer["checks"] == []
    assert [each["notes_midi"] for each in answer["decided"]] == [[60]]
    assert answer["decided"][0]["causes"][0]["cause"] == "u-deb"
    assert answer["expected_minutes"] == 0


def test_how_sure_is_sure_is_the_shops_to_say(next_checks, upright):
    ShopProfile.objects.update(cause_sure_percent="51")
    easy = next_checks(upright)
    ShopProfile.objects.update(cause_sure_percent="99")
    hard = next_checks(upright)
    assert (easy["sure_percent"], hard["sure_percent"]) == ("51.0", "99.0")
    assert easy["expected_minutes"] < hard["expected_minutes"]


def test_without_a_finding_there_is_nothing_to_check(next_checks):
    answer = next_checks(examined())
    assert (answer["checks"], answer["decided"], answer["nothing_left"]) == ([], [], [])


def test_a_note_that_everything_was_asked_about_is_said_to_be_open(next_checks, upright):
    for check in Check.objects.filter(actions__contains=["upright"]):
        answered(upright, check.code, 60 if check.scope == "note" else None, Outcome.UNCLEAR)
    answer = next_checks(upright)
    assert answer["checks"] == []
    assert [each["notes"] for each in answer["nothing_left"]] == ["C4"]


def test_a_finding_on_the_whole_instrument_is_asked_about_as_such(next_checks):
    on = examined()
    found(on, None)
    answer = next_checks(on)
    assert answer["checks"]
    assert {step["notes"] for step in answer["checks"]} == {""}


def test_alike_notes_are_checked_together(next_checks):
    on = examined()
    found(on, 60, 62, 64)
    told = next_checks(on)["checks"][0]["tells"]
    assert [each["notes"] for each in told] == ["C4, D4, E4"]


@pytest.mark.parametrize(
    ("query", "error"),
    [
        ("opened=g2", ("opened", "set-up-unknown")),
        ("opened=cellar", ("opened", "set-up-unknown")),
        ("opened=", ("opened", "blank")),
        ("note=C9", ("note", "note-outside-compass")),
        ("note=60&naming=cents", ("naming", "invalid-choice")),
        ("sure=1", ("sure", "unknown-parameter")),
    ],
)
def test_a_wrong_parameter_is_named(technician, upright, query, error):
    problem = technician.get(f"examinations/{upright.pk}/next-checks?{query}", status=400)
    assert wrong(problem) == [error]


def test_the_next_checks_of_an_examination_that_there_is_not_are_not_found(technician, nobody):
    technician.get("examinations/987654/next-checks", status=404)
    nobody.get("examinations/987654/next-checks", status=401)


@pytest.mark.parametrize("report", ["next-checks", "work-sheet"])
def test_statements_are_as_many_for_one_finding_as_for_sixty(technician, upright, report):
    def statements():
        with CaptureQueriesContext(connection) as captured:
            technician.get(f"examinations/{upright.pk}/{report}")
        return len(captured)

    remedy = Remedy.objects.get(code="shim-key-slip-upright")  # with parts, so that all is read
    found(upright, 61, remedy=remedy)
    statements()
    of_one = statements()
    found(upright, *range(30, 59), fault="no-repeat")
    found(upright, *range(70, 100), fault="stays-down")
    for midi in range(30, 50):
        answered(upright, "t7", midi, Outcome.POSITIVE)
    assert statements() == of_one
