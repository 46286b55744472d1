from datetime import timedelta

import pytest
from django.utils import timezone

from diagnostics.models import RoomReading
from tests.diagnostics.api.conftest import wrong
from tests.factories.diagnostics import RoomReadingFactory
from tests.factories.shop import InstrumentFactory


@pytest.fixture
def reading(db):
    return {
        "instrument": InstrumentFactory().pk,
        "taken_at": "2026-02-03T10:00:00+01:00",
        "place": "inside",
        "temperature_c": "17.5",
        "humidity_percent": "72.0",
    }


def test_a_reading_is_kept_with_who_took_it(technician, reading):
    response = technician("POST", "readings", reading)
    answer = response.json()
    assert response.status_code == 201
    assert answer == {
        **reading,
        "id": answer["id"],
        "taken_at": "2026-02-03T09:00:00Z",
        "taken_by": technician.user.pk,
    }
    assert technician.get(response["Location"]) == answer


@pytest.mark.parametrize(
    ("values", "pointer", "code"),
    [
        ({"taken_at": "2026-02-03T10:00:00"}, "/taken_at", "no-offset"),
        ({"place": "cellar"}, "/place", "invalid-choice"),
        ({"temperature_c": -31}, "/temperature_c", "min-value"),
        ({"temperature_c": 61}, "/temperature_c", "max-value"),
        ({"humidity_percent": 0}, "/humidity_percent", "min-value"),
        ({"humidity_percent": 100.1}, "/humidity_percent", "max-value"),
        ({"humidity_percent": 1e30}, "/humidity_percent", "max-digits"),
        ({"humidity_percent": None}, "/humidity_percent", "null"),
        ({"instrument": 987654}, "/instrument", "does-not-exist"),
        ({"taken_by": 1}, "/taken_by", "unknown-member"),
    ],
)
def test_a_reading_that_no_room_has_is_refused(technician, reading, values, pointer, code):
    problem = technician.post("readings", reading | values, status=400)
    assert wrong(problem) == [(pointer, code)]
    assert not RoomReading.objects.exists()


def test_a_reading_is_not_still_to_come(technician, reading):
    tomorrow = (timezone.now() + timedelta(days=1)).isoformat()
    problem = technician.post("readings", reading | {"taken_at": tomorrow}, status=400)
    assert wrong(problem) == [("/taken_at", "in-the-future")]
    answer = technician.post("readings", reading)
    problem = technician.change(f"readings/{answer['id']}", {"taken_at": tomorrow}, status=400)
    assert wrong(problem) == [("/taken_at", "in-the-future")]


def test_there_is_one_reading_of_a_time_and_place(technician, reading):
    technician.post("readings", reading)
    problem = technician.post("readings", reading | {"temperature_c": 20}, status=409)
    assert problem["type"].endswith("/problems/reading-exists")
    technician.post("readings", reading | {"place": "room"})


def test_a_reading_is_corrected_and_removed_as_it_was_read(technician, reading):
    path = f"readings/{technician.post('readings', reading)['id']}"
    assert technician.change(path, {"humidity_percent": "71.5"})["humidity_percent"] == "71.5"
    assert technician("PATCH", path, {}, If_Match='"stale"').status_code == 412
    technician.remove(path)
    technician.get(path, status=404)


def test_readings_are_listed_newest_first_and_filtered(technician):
    first = RoomReadingFactory()
    second = RoomReadingFactory(instrument=first.instrument, place="inside")
    RoomReadingFactory()

    def found(query):
        return [item["id"] for item in technician.get(f"readings?{query}")["items"]]

    assert found(f"instrument={first.instrument_id}") == [second.pk, first.pk]
    assert found("place=inside") == [second.pk]
    until = first.taken_at.isoformat().replace("+00:00", "Z")
    assert found(f"taken_at_before={until}") == [first.pk]


def test_nobody_else_reads_or_keeps_readings(nobody, reading):
    nobody.post("readings", reading, status=401)
    nobody.get("readings", status=401)
