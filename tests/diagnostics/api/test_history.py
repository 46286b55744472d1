from datetime import timedelta

import pytest

from tests.diagnostics.api.conftest import wrong
from tests.factories.diagnostics import (
    BenchWorkFactory,
    ExaminationFactory,
    FindingFactory,
    FittedPartFactory,
)
from tests.factories.world import NOW


@pytest.fixture
def two_years(upright_examined):
    """F#4 was found slow, mended, and found slow again, after the whole piano was rebushed."""
    instrument = upright_examined.instrument
    earlier = ExaminationFactory(instrument=instrument, examined_at=NOW - timedelta(days=700))
    made = {
        "first": FindingFactory(examination=earlier, note_midi=66),
        "again": FindingFactory(examination=upright_examined, note_midi=66),
        "other": FindingFactory(examination=upright_examined, note_midi=67),
        "mended": BenchWorkFactory(
            examination=earlier, note_midi=66, done_at=NOW - timedelta(days=690)
        ),
        "rebushed": BenchWorkFactory(examination=earlier, note_midi=None),
        "other_work": BenchWorkFactory(examination=earlier, note_midi=67),
    }
    FittedPartFactory(bench_work=made["mended"], quantity="1.500")
    FindingFactory(note_midi=66)
    return instrument, {name: row.pk for name, row in made.items()}


def ids(items):
    return [item["id"] for item in items]


def test_a_notes_history_is_what_was_found_and_done_on_it_newest_first(technician, two_years):
    instrument, made = two_years
    answer = technician.get(f"instruments/{instrument.pk}/history?note=F%234")
    assert ids(answer["findings"]) == [made["again"], made["first"]]
    assert [item["examined_at"] for item in answer["findings"]] == [
        "2026-03-02T09:30:00Z",
        "2024-04-01T09:30:00Z",
    ]
    assert ids(answer["bench_work"]) == [made["rebushed"], made["mended"]]
    assert answer["bench_work"][1]["key_name"] == "F#46"
    assert [part["quantity"] for part in answer["bench_work"][1]["fitted"]] == ["1.5"]
    assert answer["is_complete"]


def test_the_note_is_read_in_the_naming_that_the_request_states(technician, two_years):
    instrument, made = two_years
    path = f"instruments/{instrument.pk}/history"
    for query in ("note=F%2346&naming=key_number", "note=66&naming=midi", "note=46"):
        assert ids(technician.get(f"{path}?{query}")["findings"]) == [made["again"], made["first"]]
    problem = technician.get(f"{path}?note=F%2346", status=400)
    assert wrong(problem) == [("note", "note-outside-compass")]
    problem = technician.get(f"{path}?tone=F%234", status=400)
    assert wrong(problem) == [("tone", "unknown-parameter")]


def test_without_a_note_the_history_is_that_of_all_notes(technician, two_years):
    instrument, made = two_years
    answer = technician.get(f"instruments/{instrument.pk}/history")
    assert ids(answer["findings"]) == [made["other"], made["again"], made["first"]]
    assert sorted(ids(answer["bench_work"])) == sorted(
        made[name] for name in ("mended", "rebushed", "other_work")
    )


def test_a_history_that_is_cut_says_so(technician, upright_examined):
    path = f"instruments/{upright_examined.instrument_id}/history"
    FindingFactory.create_batch(200, examination=upright_examined)
    answer = technician.get(path)
    assert (len(answer["findings"]), answer["is_complete"]) == (200, True)
    newest = FindingFactory(examination=upright_examined)
    answer = technician.get(path)
    assert (len(answer["findings"]), answer["is_complete"]) == (200, False)
    assert answer["findings"][0]["id"] == newest.pk


def test_the_history_of_an_instrument_that_there_is_not_is_not_found(technician, nobody, db):
    technician.get("instruments/987654/history", status=404)
    nobody.get("instruments/987654/history", status=401)


def test_bench_work_is_listed_newest_first_and_filtered(technician, two_years):
    instrument, made = two_years

    def found(query):
        return ids(technician.get(f"bench-work?{query}")["items"])

    elsewhere = BenchWorkFactory(result="unchanged")
    assert found(f"instrument={instrument.pk}&note_midi=66") == [made["mended"]]
    assert found(f"examination={elsewhere.examination_id}") == [elsewhere.pk]
    assert found(f"remedy={elsewhere.remedy.code}") == [elsewhere.pk]
    assert found("result=unchanged") == [elsewhere.pk]
    assert found("done_at_before=2025-01-01T00:00:00Z") == [made["mended"]]
    assert len(found("")) == 4
    item = technician.get(f"bench-work/{elsewhere.pk}")
    assert (item["remedy"], item["note"], item["minutes"]) == (elsewhere.remedy.code, "C4", "6.5")


def test_bench_work_is_recorded_under_its_quote_alone(owner, nobody, two_years):
    _, made = two_years
    assert owner("POST", "bench-work", {}).status_code == 405
    assert owner("DELETE", f"bench-work/{made['mended']}").status_code == 405
    nobody.get("bench-work", status=401)
