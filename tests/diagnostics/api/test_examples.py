"""What the description of the API shows is what the program answers."""

import pytest

from diagnostics.api import examples, room_examples
from shop.models import Instrument
from tests.factories.diagnostics import (
    ExaminationFactory,
    FaultFactory,
    FindingFactory,
    RoomReadingFactory,
)
from tests.factories.shop import InstrumentFactory, WoodSpeciesFactory


@pytest.fixture
def again(db):
    """Two notes of thirteen were slow; when the room had been treated one was cured, one better."""
    instrument = InstrumentFactory(
        maker="Hallow & Finch", model="114", serial_number="", lowest_midi=60, highest_midi=72
    )
    again = ExaminationFactory(instrument=instrument, follow_up=True, room_was_treated=True)
    slow = FaultFactory(code="slow-return", letter="S", name="Slow return")
    FindingFactory(examination=again.follows, note_midi=60, fault=slow)
    FindingFactory(examination=again.follows, note_midi=64, fault=slow, severity="severe")
    FindingFactory(examination=again, note_midi=64, fault=slow, severity="slight")
    return again


def test_the_comparison_shown_is_the_one_that_is_answered(technician, again):
    answer = technician.get(f"examinations/{again.pk}/comparison")
    numbers = {"examination": again.pk, "follows": again.follows_id}
    assert answer == examples.COMPARISON | numbers


def test_the_cure_report_shown_is_the_one_that_is_answered(technician, again):
    assert technician.get("cure-report") == examples.CURES


def test_the_keyboards_shown_are_those_that_are_drawn(technician, again):
    for path, example in (
        (f"examinations/{again.follows_id}/keyboard", examples.EXAMINATION_DRAWN),
        (f"examinations/{again.pk}/comparison/keyboard", examples.COMPARISON_DRAWN),
        (f"instruments/{again.instrument_id}/keyboard", examples.HISTORY_DRAWN),
    ):
        assert technician("GET", path, Accept="text/plain").content.decode() == example


@pytest.fixture
def room(db):
    """A visit on a day in range, the next week a damp one."""
    instrument = InstrumentFactory(maker="Hallow & Finch", model="114", serial_number="")
    basswood = WoodSpeciesFactory(
        code="american-basswood",
        name="American basswood",
        provenance="published",
        source="Wood Handbook, FPL-GTR-190 (2010), Tables 13-5 and 4-3.",
        radial_coefficient="0.00230",
        tangential_coefficient="0.00330",
        radial_shrinkage_percent="6.6",
        tangential_shrinkage_percent="9.3",
    )
    Instrument.objects.filter(pk=instrument.pk).update(key_wood=basswood)
    for day, humidity in (("2026-03-02", 45), ("2026-03-09", 65)):
        RoomReadingFactory(
            instrument=instrument,
            taken_at=f"{day}T09:30:00Z",
            temperature_c=20,
            humidity_percent=humidity,
        )
    return f"instruments/{instrument.pk}/room", "since=2026-03-02&until=2026-03-09"


def test_the_room_shown_is_the_one_that_is_answered(technician, room):
    path, days = room
    answer = technician.get(f"{path}?{days}&width_mm=22.5&moisture_percent=8")
    assert answer == room_examples.ROOM | {"instrument": answer["instrument"]}


def test_the_chart_of_a_room_shown_is_the_one_that_is_drawn(technician, room):
    path, days = room
    drawn = technician("GET", f"{path}-chart?{days}", Accept="text/plain")
    assert drawn.content.decode() == room_examples.ROOM_DRAWN
