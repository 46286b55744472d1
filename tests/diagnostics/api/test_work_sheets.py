"""The work-sheet of a visit, over HTTP, from the catalogue that ships."""

from io import StringIO

import pytest
from django.core.management import call_command

from diagnostics.models import Caution, Fault, Outcome, Remedy, SetUp
from tests.diagnostics.api.conftest import wrong
from tests.diagnostics.api.test_next_checks import answered, examined, found
from tests.factories import diagnostics as rows


@pytest.fixture(autouse=True)
def _loaded(db):
    call_command("load_catalogue", stdout=StringIO())


@pytest.fixture
def work_sheet(technician):
    def answer(on, query=""):
        return technician.get(f"examinations/{on.pk}/work-sheet{query}")

    return answer


@pytest.fixture
def sticking():
    """An upright on which some keys stick, and one is blocked."""
    on = examined()
    found(on, 60, 62, 64, fault="stays-down")
    found(on, 70, fault="blocked-down")
    return on


# Source: common practice. The order of search: complaint, then what can be reached; a vague
# complaint gets a global check.
def test_a_visit_starts_with_questions_and_a_global_check(work_sheet, sticking):
    sheet = work_sheet(sticking)
    assert [each["check"] for each in sheet["first"]] == ["global", "t1"]
    assert "since when" in sheet["first"][1]["instruction"]
    later = {check["check"] for level in sheet["levels"] for check in level["checks"]}
    assert later
    assert not later & {"global", "t1"}


def test_what_was_asked_at_the_start_is_not_asked_again(work_sheet, sticking):
    answered(sticking, "t1", outcome=Outcome.POSITIVE)
    assert [each["check"] for each in work_sheet(sticking)["first"]] == ["global"]


def test_the_piano_is_opened_level_by_level(work_sheet, sticking):
    sheet = work_sheet(sticking)
    depths = dict(SetUp.objects.values_list("code", "depth"))
    levels = [depths[level["set_up"]] for level in sheet["levels"]]
    assert levels == sorted(set(levels))
    for level in sheet["levels"]:
        assert all(depths[each["set_up"]] <= depths[level["set_up"]] for each in level["checks"])
        assert level["minutes"] == level["checks"][0]["set_up_minutes"]
    opened = work_sheet(sticking, "?opened=u3")
    assert [level["set_up"] for level in opened["levels"]] == ["u3"]


def test_likely_work_comes_with_its_parts_tools_and_cautions(work_sheet, sticking):
    sheet = work_sheet(sticking)
    work = {each["remedy"]: each for each in sheet["remedies"]}
    debris = work["remove-debris-upright"]
    assert debris["causes"][0]["cause"] == "u-deb"
    assert 70 in debris["notes_midi"]
    assert debris["times"] == len(debris["notes_midi"])
    assert {"lamp", "tweezers", "vacuum"} <= {each["tool"] for each in sheet["tools"]}
    cautions = {each["caution"]: each["text"] for each in sheet["cautions"]}
    assert cautions["dust-and-pests"] == Caution.objects.get(code="dust-and-pests").text


def test_the_general_caution_stands_first_even_when_nothing_was_found(work_sheet):
    sheet = work_sheet(examined())
    assert (sheet["levels"], sheet["remedies"], sheet["parts"]) == ([], [], [])
    assert [each["check"] for each in sheet["first"]] == ["global", "t1"]
    assert [each["caution"] for each in sheet["cautions"]] == ["general"]


# Source: published trade article: a grand's action is pulled by the key frame, or a hammer snaps.
def test_sliding_out_a_grands_action_is_warned_of_whoever_looks_behind_it(work_sheet):
    on = examined("grand")
    found(on, 60)
    sheet = work_sheet(on)
    assert {"g2", "g3"} & {level["set_up"] for level in sheet["levels"]}
    assert "grand-action" in {each["caution"] for each in sheet["cautions"]}


def test_a_remedy_that_the_technician_decided_on_is_prepared_for(work_sheet):
    on = examined()
    remedy = Remedy.objects.get(code="shim-key-slip-upright")
    fault = Fault.objects.get(code="slow-return")
    for midi in (60, 62):
        rows.FindingFactory(examination=on, note_midi=midi, fault=fault, remedy=remedy)
    sheet = work_sheet(on)
    work = next(each for each in sheet["remedies"] if each["remedy"] == remedy.code)
    assert {60, 62} <= set(work["notes_midi"])
    # Charged per instrument: three cards whatever the notes.
    assert work["times"] == 1
    cards = next(each for each in sheet["parts"] if each["part"] == "front-card-508")
    assert (cards["quantity"], cards["unit"]) == ("3", "piece")


def test_the_sheet_is_text_for_whoever_prefers_that(technician, sticking):
    path = f"examinations/{sticking.pk}/work-sheet"
    response = technician("GET", path, Accept="text/plain")
    assert (response.status_code, response["Content-Type"]) == (200, "text/plain; charset=utf-8")
    text = response.content.decode()
    assert technician("GET", f"{path}?format=text").content.decode() == text
    lines = text.splitlines()
    assert max(map(len, lines)) <= 80
    titles = ["BEFORE ANYTHING IS OPENED", "LIKELY WORK", "TOOLS TO TAKE", "CAUTIONS"]
    places = [lines.index(title) for title in titles]
    assert places == sorted(places)
    again = technician("GET", path, Accept="text/plain", If_None_Match=response["ETag"])
    assert again.status_code == 304
    assert technician("GET", path)["Content-Type"] == "application/json"


def test_a_set_up_that_the_action_lacks_is_refused(technician, nobody, sticking):
    path = f"examinations/{sticking.pk}/work-sheet"
    assert wrong(technician.get(f"{path}?opened=g1", status=400)) == [("opened", "set-up-unknown")]
    assert wrong(technician.get(f"{path}?note=C4", status=400)) == [("note", "unknown-parameter")]
    technician.get("examinations/987654/work-sheet", status=404)
    nobody.get(path, status=401)
