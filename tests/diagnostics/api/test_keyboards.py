from datetime import timedelta
from xml.etree import ElementTree

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from shop.models import Instrument
from tests.diagnostics.api.conftest import wrong
from tests.factories.diagnostics import ExaminationFactory, FaultFactory, FindingFactory
from tests.factories.shop import InstrumentFactory
from tests.factories.world import NOW

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture
def looked_at_again(db):
    """C4 was slow and is cured; the follow-up found D4 noisy."""
    instrument = InstrumentFactory(maker="Hallow & Finch", model="114", serial_number="1")
    again = ExaminationFactory(instrument=instrument, follow_up=True)
    slow, noise = FaultFactory(letter="S", name="Slow return"), FaultFactory(letter="K")
    FindingFactory(examination=again.follows, note_midi=60, fault=slow, severity="severe")
    FindingFactory(examination=again, note_midi=62, fault=noise)
    return again


@pytest.fixture
def paths(looked_at_again):
    return {
        "examination": f"examinations/{looked_at_again.follows_id}/keyboard",
        "comparison": f"examinations/{looked_at_again.pk}/comparison/keyboard",
        "history": f"instruments/{looked_at_again.instrument_id}/keyboard",
    }


every_picture = pytest.mark.parametrize("which", ["examination", "comparison", "history"])


@every_picture
def test_a_keyboard_is_a_picture_unless_text_is_wanted(technician, paths, which):
    path = paths[which]
    for headers in ({}, {"Accept": "image/*"}, {"Accept": "text/plain;q=0.5, image/svg+xml"}):
        drawn = technician("GET", path, **headers)
        assert drawn["Content-Type"] == "image/svg+xml; charset=utf-8"
        root = ElementTree.fromstring(drawn.content)
        assert root.findtext(f"{SVG}title") == "Hallow & Finch 114 1, upright, 88 keys A0 to C8"
    for address, headers in ((path, {"Accept": "text/plain"}), (f"{path}?format=text", {})):
        drawn = technician("GET", address, **headers)
        assert drawn["Content-Type"] == "text/plain; charset=utf-8"
        text = drawn.content.decode()
        assert text.startswith("Hallow & Finch 114 1, upright, 88 keys A0 to C8\n")
        assert "┌" in text
    assert technician("GET", path, Accept="application/json").status_code == 406


def test_a_picture_shows_the_findings_of_its_examination(technician, paths):
    root = ElementTree.fromstring(technician("GET", paths["examination"]).content)
    assert [
        (bar.get("data-note"), bar.get("data-severity"), bar.findtext(f"{SVG}title"))
        for bar in root.iter(f"{SVG}g")
        if (bar.get("data-sign") or "").startswith("fault-")
    ] == [("60", "severe", "C4: Slow return, severe")]
    assert "2026-02-16: all 88 notes looked at" in root.findtext(f"{SVG}desc")


def test_a_comparison_shows_what_became_of_each_fault(technician, paths):
    text = technician("GET", paths["comparison"], Accept="text/plain").content.decode()
    assert "Of 1 fault looked at again: 1 cured. 1 fault is new." in text
    assert "C  Cured" in text


def test_a_history_shows_every_examination(technician, paths):
    text = technician("GET", paths["history"], Accept="text/plain").content.decode()
    assert "2 examinations, 2026-02-16 to 2026-03-02" in text
    assert "Faulty in 1 examination: C4, D4" in text


def test_text_is_as_wide_and_as_colourful_as_asked(technician, paths):
    path = paths["examination"]
    plain = technician("GET", f"{path}?format=text&width=60").content.decode()
    assert max(map(len, plain.splitlines())) <= 60
    assert "\x1b" not in plain
    assert "\x1b[" in technician("GET", f"{path}?format=text&colour=true").content.decode()
    for query, code in (("width=39", "min-value"), ("width=x", "invalid"), ("colour=2", "invalid")):
        problem = technician.get(f"{path}?format=text&{query}", status=400)
        assert wrong(problem) == [(query.partition("=")[0], code)]


@every_picture
def test_a_picture_that_is_known_is_not_sent_again(technician, paths, which):
    path = paths[which]
    tag = technician("GET", path)["ETag"]
    again = technician("GET", path, If_None_Match=tag)
    assert (again.status_code, again.content) == (304, b"")
    assert technician("GET", f"{path}?format=text", If_None_Match=tag).status_code == 200
    Instrument.objects.update(model="115")
    assert technician("GET", path, If_None_Match=tag).status_code == 200


@every_picture
def test_a_picture_opened_by_itself_runs_and_fetches_nothing(technician, paths, which):
    policy = technician("GET", paths[which])["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "sandbox" in policy
    assert "script" not in policy


def test_an_instrument_that_nobody_examined_has_a_keyboard_without_marks(technician, db):
    path = f"instruments/{InstrumentFactory().pk}/keyboard"
    assert b"No examination yet" in technician("GET", path).content
    assert b"No examination yet" in technician("GET", path, Accept="text/plain").content


def test_a_history_is_drawn_from_the_newest_forty_examinations(technician, upright_examined):
    instrument = upright_examined.instrument
    for days in range(1, 41):
        ExaminationFactory(instrument=instrument, examined_at=NOW + timedelta(days=days))
    text = technician("GET", f"instruments/{instrument.pk}/keyboard?format=text").content.decode()
    assert "40 examinations, 2026-03-03 to 2026-04-11" in text


def test_notes_that_an_instrument_is_said_to_have_no_more_are_still_drawn(technician, paths):
    Instrument.objects.update(lowest_midi=62, highest_midi=64)
    for path in paths.values():
        root = ElementTree.fromstring(technician("GET", path).content)
        keys = {key.get("data-note") for key in root.iter(f"{SVG}g") if key.get("class") == "key"}
        assert {"60", "62"} & keys


@every_picture
def test_a_picture_costs_the_same_for_one_finding_and_for_five(
    technician, looked_at_again, paths, which
):
    def statements():
        with CaptureQueriesContext(connection) as captured:
            assert technician("GET", paths[which]).status_code == 200
        return len(captured)

    one = statements()
    for note_midi in range(61, 65):
        FindingFactory(examination=looked_at_again, note_midi=note_midi)
        FindingFactory(examination=looked_at_again.follows, note_midi=note_midi)
        ExaminationFactory(instrument=looked_at_again.instrument, examined_at=NOW)
    assert statements() == one <= 8


@every_picture
def test_nobody_else_sees_a_picture(nobody, paths, which):
    nobody.get(paths[which], status=401)
