from datetime import timedelta
from decimal import Decimal

import pytest

from diagnostics.models import Examination
from tests.factories.diagnostics import ExaminationFactory, FindingFactory, RoomReadingFactory
from tests.factories.shop import InstrumentFactory
from tests.factories.world import NOW
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db


def test_at_most_the_notes_that_midi_numbers_are_examined():
    with refused("diagnostics_examination_notes_midi"):
        ExaminationFactory(notes_examined=[*range(128), 0])
    with accepted():
        ExaminationFactory(notes_examined=list(range(128)))
    with accepted():
        ExaminationFactory(notes_examined=[])


@pytest.mark.parametrize(
    ("rule", "wrong", "right"),
    [
        ("diagnostics_roomreading_place_known", {"place": "attic"}, {"place": "inside"}),
        (
            "diagnostics_roomreading_believable",
            {"temperature_c": Decimal("-30.1")},
            {"temperature_c": -30},
        ),
        (
            "diagnostics_roomreading_believable",
            {"temperature_c": Decimal("60.1")},
            {"temperature_c": 60},
        ),
        (
            "diagnostics_roomreading_believable",
            {"humidity_percent": 0},
            {"humidity_percent": Decimal("0.1")},
        ),
        (
            "diagnostics_roomreading_believable",
            {"humidity_percent": Decimal("100.1")},
            {"humidity_percent": 100},
        ),
    ],
)
def test_a_room_is_read_where_and_as_it_can_be(rule, wrong, right):
    with refused(rule):
        RoomReadingFactory(**wrong)
    with accepted():
        RoomReadingFactory(**right)


@pytest.mark.parametrize(
    "other",
    [{"place": "inside"}, {"taken_at": NOW + timedelta(seconds=1)}, {"instrument": "another"}],
    ids=lambda other: next(iter(other)),
)
def test_a_room_is_read_once_at_a_time(other):
    same = {"instrument": InstrumentFactory(), "place": "room", "taken_at": NOW}
    if "instrument" in other:
        other = {"instrument": InstrumentFactory()}
    RoomReadingFactory(**same)
    with refused("diagnostics_roomreading_once"):
        RoomReadingFactory(**same)
    with accepted():
        RoomReadingFactory(**same | other)


def test_an_examination_with_findings_keeps_its_instrument():
    begun, empty = FindingFactory().examination, ExaminationFactory()
    other = InstrumentFactory()
    with refused("diagnostics_examination_instrument_fixed"):
        Examination.objects.filter(pk=begun.pk).update(instrument=other)
    with accepted():
        Examination.objects.filter(pk=empty.pk).update(instrument=other)


@pytest.mark.parametrize("sooner", [timedelta(0), timedelta(days=-1)])
def test_a_follow_up_is_of_an_earlier_examination_of_the_same_instrument(sooner):
    first = ExaminationFactory()
    with refused("diagnostics_examination_follows_earlier"):
        ExaminationFactory(follows=first, instrument=first.instrument, examined_at=NOW + sooner)
    with refused("diagnostics_examination_follows_earlier"):
        ExaminationFactory(follows=first, examined_at=NOW + timedelta(days=14))
    with accepted():
        ExaminationFactory(
            follows=first, instrument=first.instrument, examined_at=NOW + timedelta(days=14)
        )


def test_an_examination_becomes_no_follow_up_of_a_later_one_or_of_itself():
    first, other = ExaminationFactory(), ExaminationFactory()
    later = NOW + timedelta(days=1)
    again = ExaminationFactory(instrument=first.instrument, examined_at=later)
    with refused("diagnostics_examination_follows_earlier"):
        Examination.objects.filter(pk=first.pk).update(follows=again)
    with refused("diagnostics_examination_follows_earlier"):
        Examination.objects.filter(pk=again.pk).update(follows=other)
    with refused("diagnostics_examination_follows_earlier"):
        Examination.objects.filter(pk=first.pk).update(follows=first, examined_at=later)
    with accepted():
        Examination.objects.filter(pk=again.pk).update(follows=first)


def test_a_follow_up_and_what_it_follows_keep_their_order_and_their_instrument():
    again = ExaminationFactory(follow_up=True)
    first = Examination.objects.filter(pk=again.follows_id)
    with refused("diagnostics_examination_followed_later"):
        first.update(examined_at=again.examined_at)
    with refused("diagnostics_examination_followed_later"):
        first.update(instrument=InstrumentFactory())
    with refused("diagnostics_examination_follows_earlier"):
        Examination.objects.filter(pk=again.pk).update(examined_at=again.follows.examined_at)
    with accepted():
        first.update(examined_at=again.examined_at - timedelta(seconds=1))


def test_only_a_follow_up_says_that_the_room_was_treated_since():
    with refused("diagnostics_examination_treated_since"):
        ExaminationFactory(room_was_treated=True)
    with accepted():
        ExaminationFactory(follow_up=True, room_was_treated=True)
