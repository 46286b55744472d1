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
