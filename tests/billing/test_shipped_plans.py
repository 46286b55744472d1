"""Rules of thumb of the trade, by the catalogue that ships: all of them common practice."""

from io import StringIO

import pytest
from django.core.management import call_command
from django.utils import timezone

from billing.queries.plans import plans_of
from billing.rules.plans import PlanKind, advice
from diagnostics.models import Cause, Fault
from diagnostics.rules.room_first import Hindrance
from tests.factories.diagnostics import ExaminationFactory, FindingFactory, RoomReadingFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def upright():
    call_command("load_catalogue", stdout=StringIO())
    return ExaminationFactory()


def room_is(examination, humidity_percent):
    RoomReadingFactory(
        instrument=examination.instrument,
        taken_at=examination.examined_at,
        temperature_c=20,
        humidity_percent=humidity_percent,
    )


def find(examination, cause, notes):
    slow, cause = Fault.objects.get(code="slow-return"), Cause.objects.get(code=cause)
    for note in notes:
        FindingFactory(examination=examination, note_midi=note, fault=slow, cause=cause)


def planned(examination):
    return plans_of(examination, day=timezone.localdate())


def test_a_damp_room_with_thirty_slow_notes_wants_the_room_first(upright):
    room_is(upright, 68)
    find(upright, "u-ham", range(30, 90, 3))
    find(upright, "u-fpt", range(31, 61, 3))
    found = planned(upright)
    assert len(found.waiting_notes) == 30
    assert [remedy.code for remedy in found.room_first.treated_by] == ["room-first"]
    given = advice(found.both.room_first_is_cheaper, is_widespread=found.room_first.is_widespread)
    assert given.plan == PlanKind.ROOM_FIRST


@pytest.mark.parametrize("cause", ["u-deb", "u-slip", "u-brk", "u-bus", "u-lead"])
def test_treating_the_room_is_never_offered_for_what_it_does_not_cure(upright, cause):
    room_is(upright, 68)
    find(upright, cause, range(30, 60))
    assert planned(upright).room_first.hindrance == Hindrance.NOTHING_WAITS


def test_a_dry_room_is_no_reason_to_leave_tight_centres(upright):
    room_is(upright, 25)
    find(upright, "u-ham", range(30, 60))
    assert planned(upright).room_first.hindrance == Hindrance.NOTHING_WAITS


def test_one_tight_hammer_is_repinned_whatever_the_room(upright):
    room_is(upright, 68)
    find(upright, "u-ham", [60])
    found = planned(upright)
    given = advice(found.both.room_first_is_cheaper, is_widespread=found.room_first.is_widespread)
    assert given.plan == PlanKind.NOW
