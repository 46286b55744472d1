"""What the description of the API shows is what the program answers."""

import pytest

from diagnostics.api import examples
from tests.factories.diagnostics import ExaminationFactory, FaultFactory, FindingFactory
from tests.factories.shop import InstrumentFactory


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
