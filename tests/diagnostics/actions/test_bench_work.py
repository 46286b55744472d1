from dataclasses import replace
from decimal import Decimal

import pytest

from diagnostics.actions.bench_work import BenchWorkDraft, bench_work_record
from diagnostics.models import BenchWork
from shop.errors import InvalidInput, Refused
from tests.factories.diagnostics import (
    CauseFactory,
    ExaminationFactory,
    FindingFactory,
    RemedyFactory,
)
from tests.factories.shop import InstrumentFactory, PartFactory, PlaceFactory, UserFactory
from tests.factories.world import NOW, stock

pytestmark = pytest.mark.django_db


@pytest.fixture
def bag():
    """A job bag that holds five pins."""
    place = PlaceFactory(bag=True)
    stock(PartFactory(code="pin"), 5, 1, place=place)
    PartFactory(code="strap")
    return place


@pytest.fixture
def draft():
    RemedyFactory(code="repin")
    RemedyFactory(code="new-strap", actions=["upright"])
    CauseFactory(code="tight-centre")
    return BenchWorkDraft(
        remedy="repin",
        note="C4",
        minutes=Decimal("6.5"),
        result="cured",
        cause_found="tight-centre",
        fitted=(("pin", Decimal(2)),),
    )


def record(draft, bag, examination=None):
    return bench_work_record(
        examination=examination or ExaminationFactory(),
        bag=bag,
        draft=draft,
        done_at=NOW,
        done_by=UserFactory(),
    )


def wrong(draft, bag, kind=InvalidInput, examination=None):
    """Return where the draft is wrong, when it is refused and leaves nothing behind."""
    before = BenchWork.objects.count()
    with pytest.raises(kind) as caught:
        record(draft, bag, examination)
    assert BenchWork.objects.count() == before
    return [(error.pointer, error.code) for error in caught.value.errors]


def test_bench_work_is_recorded_with_what_was_fitted(draft, bag):
    work = BenchWork.objects.get(pk=record(draft, bag).pk)
    assert (work.note_midi, work.remedy.code, work.cause_found.code) == (
        60,
        "repin",
        "tight-centre",
    )
    assert [(row.part.code, row.quantity) for row in work.fitted_parts.all()] == [("pin", 2)]


def test_a_note_is_read_in_the_naming_of_the_draft(draft, bag):
    assert record(replace(draft, note="C40", naming="key_number"), bag).note_midi == 60
    assert wrong(replace(draft, note="C40"), bag) == [("/note", "note-outside-compass")]


def test_without_note_and_finding_the_work_is_on_the_whole_instrument(draft, bag):
    assert record(replace(draft, note=""), bag).note_midi is None


def test_work_on_a_finding_is_on_its_note(draft, bag):
    finding = FindingFactory(note_midi=67)
    on_finding = replace(draft, note="", finding_id=finding.pk)
    assert record(on_finding, bag, finding.examination).note_midi == 67
    assert record(replace(on_finding, note="G4"), bag, finding.examination).finding == finding
    assert wrong(replace(on_finding, note="C4"), bag, examination=finding.examination) == [
        ("/note", "note-not-of-finding")
    ]
    assert wrong(on_finding, bag) == [("/finding", "finding-unknown")]


def test_bench_work_names_one_note(draft, bag):
    assert wrong(replace(draft, note="C4-E4"), bag) == [("/note", "notes-several")]


def test_everything_that_there_is_not_is_named_at_once(draft, bag):
    unknown = replace(
        draft,
        remedy="pray",
        cause_found="gremlins",
        note="C9",
        minutes=Decimal(1441),
        fitted=(("unobtainium", Decimal(1)), ("strap", Decimal(0))),
    )
    assert sorted(wrong(unknown, bag)) == [
        ("/cause_found", "cause-unknown"),
        ("/fitted/0/part", "part-unknown"),
        ("/fitted/1/quantity", "quantity-not-positive"),
        ("/minutes", "minutes-absurd"),
        ("/note", "note-outside-compass"),
        ("/remedy", "remedy-unknown"),
    ]


def test_a_part_is_named_once(draft, bag):
    twice = (("pin", Decimal(1)), ("pin", Decimal(1)))
    assert wrong(replace(draft, fitted=twice), bag) == [
        ("/fitted/0/part", "part-named-twice"),
        ("/fitted/1/part", "part-named-twice"),
    ]


def test_a_grand_gets_no_bridle_strap(draft, bag):
    grand = ExaminationFactory(instrument=InstrumentFactory(grand=True))
    with_strap = replace(draft, remedy="new-strap")
    assert wrong(with_strap, bag, examination=grand) == [("/remedy", "not-in-this-action")]
    assert record(with_strap, bag).remedy.code == "new-strap"


def test_no_more_is_fitted_than_the_bag_holds_over_all_work(draft, bag):
    record(replace(draft, fitted=(("pin", Decimal(3)),)), bag)
    too_many = replace(draft, fitted=(("strap", Decimal(1)), ("pin", Decimal(3))))
    assert wrong(too_many, bag, Refused) == [
        ("/fitted/0/quantity", "not-in-bag"),
        ("/fitted/1/quantity", "not-in-bag"),
    ]
    record(replace(draft, fitted=(("pin", Decimal(2)),)), bag)
