"""The office's pages of the catalogue, of findings and of bench work."""

from datetime import timedelta

import pytest

from diagnostics.models import (
    BenchWork,
    Cause,
    Check,
    Component,
    Examination,
    Fault,
    Finding,
    Remedy,
    RoomReading,
)
from shop.models import Instrument
from tests.factories.diagnostics import (
    BenchWorkFactory,
    CauseFactory,
    CheckFactory,
    CheckResultFactory,
    ComponentFactory,
    ExaminationFactory,
    FaultFactory,
    FindingFactory,
    FittedPartFactory,
    RemedyFactory,
    RemedyPartFactory,
    RoomReadingFactory,
)
from tests.factories.shop import InstrumentFactory
from tests.factories.world import NOW
from tests.office_pages import list_address, page_address, read, sent_back, sign_in, statements

pytestmark = pytest.mark.django_db


def in_order(page, *texts):
    places = [page.find(text) for text in texts]
    return -1 not in places and places == sorted(places)


def test_an_instruments_page_shows_its_findings_newest_examination_first_then_by_note():
    piano = InstrumentFactory()
    older = ExaminationFactory(instrument=piano, examined_at=NOW - timedelta(days=30))
    newer = ExaminationFactory(instrument=piano)
    FindingFactory(examination=older, note_midi=21, fault__name="Blocked down")
    FindingFactory(examination=newer, note_midi=108, fault__name="Slow return")
    FindingFactory(examination=newer, note_midi=60, fault__name="Stays down")
    FindingFactory(examination=newer, note_midi=None, fault__name="Dead touch")
    FindingFactory(fault__name="On another piano")
    page = read(sign_in(), page_address(piano))
    # Middle C is C4, MIDI 60 and the fortieth of 88 keys; A0 is the first and C8 the last.
    assert in_order(page, "Dead touch", "40 (C4)", "Stays down", "88 (C8)", "1 (A0)")
    assert in_order(page, "Slow return", "Blocked down")
    assert "On another piano" not in page


def test_notes_are_numbered_from_the_instruments_own_lowest_key():
    piano = InstrumentFactory(lowest_midi=12, highest_midi=108)  # 97 keys, C0 to C8
    FindingFactory(examination__instrument=piano, note_midi=60)
    assert "49 (C4)" in read(sign_in(), page_address(piano))


def test_a_finding_that_a_corrected_compass_left_outside_is_still_shown():
    finding = FindingFactory(note_midi=108)
    Instrument.objects.update(highest_midi=105)
    browser = sign_in()
    assert "MIDI 108" in read(browser, page_address(finding.examination.instrument))
    assert "MIDI 108" in read(browser, list_address(Finding))


def test_a_new_instrument_has_a_page_without_findings():
    assert "findings" in read(sign_in(), "/admin/shop/instrument/add/")


def test_an_examination_shows_findings_and_checks_by_note():
    examination = ExaminationFactory()
    for midi in (72, 48, 60):
        FindingFactory(examination=examination, note_midi=midi)
    CheckResultFactory(examination=examination, check_made__name="Swing test")
    page = read(sign_in(), page_address(examination))
    assert in_order(page, "28 (C3)", "40 (C4)", "52 (C5)", "Swing test")


def test_bench_work_shows_the_parts_fitted():
    fitted = FittedPartFactory()
    assert fitted.part.name in read(sign_in(), page_address(fitted.bench_work))


def test_lists_cost_the_same_for_one_row_and_five():
    browser = sign_in()
    makers = {
        Component: ComponentFactory,
        Fault: FaultFactory,
        Check: CheckFactory,
        Remedy: RemedyFactory,
        Cause: CauseFactory,
        Examination: ExaminationFactory,
        Finding: FindingFactory,
        BenchWork: BenchWorkFactory,
        RoomReading: RoomReadingFactory,
    }
    for model, make in makers.items():
        make()
        of_one = statements(browser, list_address(model))
        for _ in range(4):
            make()
        assert statements(browser, list_address(model)) == of_one, model


def test_an_instruments_page_and_an_examinations_cost_the_same_for_one_finding_and_many():
    browser = sign_in()
    examination = ExaminationFactory()
    addresses = [page_address(examination.instrument), page_address(examination)]
    FindingFactory(examination=examination, note_midi=21)
    CheckResultFactory(examination=examination, note_midi=21)
    of_one = [statements(browser, address) for address in addresses]
    for midi in range(22, 32):
        FindingFactory(examination=examination, note_midi=midi)
        CheckResultFactory(examination=examination, note_midi=midi)
    assert [statements(browser, address) for address in addresses] == of_one


def test_a_remedy_is_edited_with_its_actions_minutes_and_parts():
    needed = RemedyPartFactory(remedy__name="Repin", quantity=2)
    browser = sign_in()
    address = page_address(needed.remedy)
    changes = {"minutes_high": "12.5", "actions": ["upright", "spinet"]}
    sent = sent_back(browser, address, **changes, **{"remedy_parts-0-quantity": "3"})
    assert browser.post(address, sent).status_code == 302
    remedy = Remedy.objects.get()
    assert (float(remedy.minutes_high), remedy.actions) == (12.5, ["upright", "spinet"])
    assert remedy.remedy_parts.get().quantity == 3


def test_a_remedy_with_disordered_minutes_is_refused_with_the_reason():
    remedy = RemedyFactory(minutes_high=8)
    browser = sign_in()
    address = page_address(remedy)
    answer = browser.post(address, sent_back(browser, address, minutes_high="1"))
    assert "Minutes run low, likely, high, none of them negative." in answer.content.decode()
    assert Remedy.objects.get().minutes_high == 8


def test_a_fault_keeps_its_letter_to_itself():
    FaultFactory(letter="S")
    other = FaultFactory(letter="R")
    browser = sign_in()
    address = page_address(other)
    answer = browser.post(address, sent_back(browser, address, letter="S"))
    assert "Fault with this Letter already exists." in answer.content.decode()


def test_what_the_office_adds_to_the_catalogue_is_the_shops_own():
    values = {"code": "plate", "name": "Plate", "actions": ["grand"], "provenance": "shop"}
    assert sign_in().post("/admin/diagnostics/component/add/", values).status_code == 302
    component = Component.objects.get()
    assert (component.provenance, component.shipped_digest) == ("shop", "")


@pytest.mark.parametrize("make", [FindingFactory, ExaminationFactory, BenchWorkFactory])
def test_what_technicians_recorded_is_shown_and_not_changed(make):
    row = make()
    browser = sign_in()
    assert 'name="_save"' not in read(browser, page_address(row))
    for page in ("change", "delete"):
        assert browser.post(page_address(row, page), {"post": "yes"}).status_code == 403
    assert type(row).objects.get(pk=row.pk) == row
