"""What the shop's own cases do to the catalogue's figures, and starting over with them."""

from datetime import timedelta
from types import SimpleNamespace

import pytest
from django.utils import timezone

from diagnostics.models import LearningReset
from tests.factories import diagnostics as rows
from tests.factories.shop import InstrumentFactory
from tests.factories.world import NOW


@pytest.fixture
def trade(db):
    """Two causes of a grand that weigh the same, a check that shows the first, a fault of both."""
    check = rows.CheckFactory(code="swing", false_positive_share="0.10")
    fault = rows.FaultFactory(code="slow")
    flange = rows.CauseFactory(code="flange", actions=["grand"], prior_weight="0.10")
    bushing = rows.CauseFactory(code="bushing", actions=["grand"], prior_weight="0.10")
    rows.CauseCheckFactory(cause=flange, check_made=check, positive_share="0.80")
    rows.CauseFaultFactory(cause=flange, fault=fault, share="0.50")
    rows.CauseFaultFactory(cause=bushing, fault=fault, share="0.50")
    return SimpleNamespace(check=check, fault=fault, flange=flange, bushing=bushing)


def case(trade, cause, outcome="", *, action="grand", midi=60, on=None, **work):
    """An examination in which `cause` was found on a slow note, with what the check showed."""
    examination = on or rows.ExaminationFactory(instrument=InstrumentFactory(action=action))
    rows.FindingFactory(examination=examination, note_midi=midi, fault=trade.fault)
    if outcome:
        rows.CheckResultFactory(
            examination=examination, check_made=trade.check, note_midi=midi, outcome=outcome
        )
    rows.BenchWorkFactory(examination=examination, note_midi=midi, cause_found=cause, **work)
    return examination


def weight(technician, code="flange"):
    (learnt,) = technician.get(f"causes/{code}")["learnt"]
    return learnt["cases"], learnt["share"]


def test_a_cause_that_is_found_becomes_likelier_and_the_others_less_so(technician, trade):
    assert weight(technician) == (0, 0.5)
    for _ in range(5):
        case(trade, trade.flange)
    # 25 of 50 cases of the catalogue's, and 5 of 5: the mean of a Dirichlet distribution.
    assert weight(technician) == (5, round(30 / 55, 4))
    assert weight(technician, "bushing") == (0, round(25 / 55, 4))
    (learnt,) = technician.get("causes/flange")["learnt"]
    assert learnt["catalogue_share"] == 0.5
    assert technician.get("causes/flange")["prior_weight"] == "0.1"


@pytest.mark.parametrize("path", ["causes/flange", "checks/swing"])
def test_what_was_learnt_says_how_and_what_the_catalogue_weighs(technician, trade, path):
    learnt_by = technician.get(path)["learnt_by"]
    # What the other tests here reckon with: 50 cases behind causes, 10 behind each share.
    assert (learnt_by["cases_behind_weights"], learnt_by["cases_behind_share"]) == (50, 10)
    assert any("Bayesian Data Analysis" in each["source"] for each in learnt_by["formulas"])


def test_what_confirms_no_cause_is_no_case(technician, trade):
    case(trade, None)
    case(trade, trade.flange, result="unchanged")
    assert weight(technician) == (0, 0.5)
    case(trade, trade.flange, result="improved")
    assert weight(technician)[0] == 1


def test_work_on_a_note_twice_for_the_same_cause_is_one_case(technician, trade):
    on = case(trade, trade.flange)
    rows.BenchWorkFactory(examination=on, note_midi=60, cause_found=trade.flange)
    assert weight(technician)[0] == 1
    case(trade, trade.flange, midi=61, on=on)
    assert weight(technician)[0] == 2


def test_cases_of_another_kind_of_action_do_not_move_a_cause(technician, trade):
    both = rows.CauseFactory(code="both", actions=["grand", "upright"], prior_weight="0.10")
    case(trade, both, action="upright")
    learnt = {each["action"]: each["cases"] for each in technician.get("causes/both")["learnt"]}
    assert learnt == {"grand": 0, "upright": 1}


def test_how_often_a_check_finds_a_cause_is_learnt(technician, trade):
    for outcome in ("positive", "negative", "negative", "unclear", ""):
        case(trade, trade.flange, outcome)
    (learnt,) = [each["learnt"] for each in technician.get("causes/flange")["checks"]]
    # 8 of the catalogue's 10 cases, and 1 of 3.
    assert learnt == {"shown": 1, "cases": 3, "share": round(9 / 13, 4)}


def test_how_often_a_check_errs_is_learnt_where_none_of_its_causes_was_found(technician, trade):
    for outcome in ("positive", "positive", "negative"):
        case(trade, trade.bushing, outcome)
    case(trade, trade.flange, "positive")
    # 1 of the catalogue's 10 cases, and 2 of 3.
    expected = {"shown": 2, "cases": 3, "share": round(3 / 13, 4)}
    assert technician.get("checks/swing")["learnt"] == expected


def test_how_often_a_fault_shows_is_learnt(technician, trade):
    case(trade, trade.flange)
    other = rows.ExaminationFactory(instrument=InstrumentFactory(grand=True))
    rows.FindingFactory(examination=other, note_midi=60)
    rows.BenchWorkFactory(examination=other, note_midi=60, cause_found=trade.flange)
    unexamined = rows.ExaminationFactory(instrument=InstrumentFactory(grand=True))
    rows.BenchWorkFactory(examination=unexamined, note_midi=60, cause_found=trade.flange)
    (learnt,) = [each["learnt"] for each in technician.get("causes/flange")["faults"]]
    # 5 of the catalogue's 10 cases, and 1 of 2; nothing was recorded of the third.
    assert learnt == {"shown": 1, "cases": 2, "share": round(6 / 12, 4)}


def test_a_note_with_two_causes_teaches_nothing_of_what_either_shows(technician, trade):
    on = case(trade, trade.flange, "positive")
    rows.BenchWorkFactory(examination=on, note_midi=60, cause_found=trade.bushing)
    item = technician.get("causes/flange")
    assert [each["learnt"]["cases"] for each in item["checks"] + item["faults"]] == [0, 0]
    assert weight(technician)[0] == weight(technician, "bushing")[0] == 1


def test_a_check_of_the_whole_instrument_counts_once_however_many_notes_had_the_cause(
    technician, trade
):
    on = case(trade, trade.flange)
    case(trade, trade.flange, midi=61, on=on)
    rows.CheckResultFactory(
        examination=on, check_made=trade.check, note_midi=None, outcome="positive"
    )
    (learnt,) = [each["learnt"] for each in technician.get("causes/flange")["checks"]]
    assert (learnt["shown"], learnt["cases"]) == (1, 1)


def test_a_diagnosis_moves_with_the_shops_own_cases(technician, trade):
    def chance():
        on = rows.ExaminationFactory(instrument=InstrumentFactory(grand=True))
        rows.FindingFactory(examination=on, note_midi=60, fault=trade.fault)
        answer = technician.get(f"examinations/{on.pk}/diagnosis")
        chances = {each["cause"]: each["probability"] for each in answer["notes"][0]["causes"]}
        return chances["flange"], answer["rests_on"]["cases"]

    before = chance()
    for _ in range(3):
        case(trade, trade.flange)
    after = chance()
    assert (before[1], after[1]) == (0, 3)
    assert after[0] > before[0]


def test_the_owner_starts_over_and_cases_until_then_count_no_more(technician, owner, trade):
    case(trade, trade.flange, done_at=NOW)
    made = owner.post("learning-resets", {"reason": "New technician"})
    assert (made["reset_by"], made["reason"]) == (owner.user.pk, "New technician")
    assert weight(technician) == (0, 0.5)
    case(trade, trade.flange, done_at=timezone.now() + timedelta(seconds=1))
    assert weight(technician)[0] == 1
    assert [each["id"] for each in technician.get("learning-resets")["items"]] == [made["id"]]


def test_only_the_owner_starts_over(technician, office, nobody):
    for caller, status in ((technician, 403), (office, 403), (nobody, 401)):
        caller.post("learning-resets", {}, status=status)
    assert not LearningReset.objects.exists()
