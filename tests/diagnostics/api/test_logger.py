from datetime import UTC, datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from diagnostics.models import RoomReading
from tests.diagnostics.api.conftest import wrong
from tests.factories.diagnostics import RoomReadingFactory
from tests.factories.shop import InstrumentFactory

HEADER = "time,temperature_c,humidity_percent\n"
NOON = datetime(2026, 2, 3, 12, tzinfo=UTC)


@pytest.fixture
def instrument(db):
    return InstrumentFactory()


@pytest.fixture
def path(instrument):
    return f"instruments/{instrument.pk}/readings"


def logged(count, humidity="45.0"):
    """Return the file of a logger that reads every ten minutes."""
    return HEADER + "".join(
        f"{NOON + timedelta(minutes=10 * index):%Y-%m-%d %H:%M}Z,20.5,{humidity}\n"
        for index in range(count)
    )


def kept():
    """Return what is kept, oldest first: the time, temperature and humidity of each."""
    rows = RoomReading.objects.order_by("taken_at")
    return [
        (f"{at:%m-%d %H:%M}", str(temperature), str(humidity))
        for at, temperature, humidity in rows.values_list(
            "taken_at", "temperature_c", "humidity_percent"
        )
    ]


def test_the_file_of_a_logger_is_kept(technician, instrument, path):
    answer = technician.post(f"{path}?place=inside", logged(3), status=200)
    assert answer == {
        "stored_count": 3,
        "known_count": 0,
        "first_at": "2026-02-03T12:00:00Z",
        "last_at": "2026-02-03T12:20:00Z",
    }
    assert kept() == [(f"02-03 12:{minute}", "20.5", "45.0") for minute in ("00", "10", "20")]
    [reading] = RoomReading.objects.filter(taken_at=NOON)
    assert reading.instrument == instrument
    assert (reading.place, reading.taken_by) == ("inside", technician.user)


def test_readings_are_kept_from_json_too(technician, path):
    rows = [
        {"taken_at": "2026-02-03T12:00:00Z", "temperature_c": 20.5, "humidity_percent": 45},
        {"taken_at": "2026-02-03T14:00:00+01:00", "temperature_c": "21", "humidity_percent": "50"},
    ]
    assert technician.post(path, rows, status=200)["stored_count"] == 2
    assert kept() == [("02-03 12:00", "20.5", "45.0"), ("02-03 13:00", "21.0", "50.0")]
    assert set(RoomReading.objects.values_list("place", flat=True)) == {"room"}


# Source: IANA time zone database, Europe/Berlin is one hour ahead of UTC in winter.
def test_times_without_an_offset_are_in_the_shops_zone(technician, path, settings):
    settings.TIME_ZONE = "Europe/Berlin"
    rows = "03.02.2026 13:00;68;45,0\n"
    technician.post(
        f"{path}?temperature_unit=F&date_order=dmy", f"time;temperature;RH\n{rows}", status=200
    )
    assert kept() == [("02-03 12:00", "20.0", "45.0")]


def test_one_bad_row_refuses_the_file_and_every_one_is_named(technician, path):
    rows = "2026-02-03 12:00,20.5,45\nnever,20.5,45\n2026-02-03 12:20,99,\n"
    problem = technician.post(path, HEADER + rows, status=400)
    assert wrong(problem) == [
        ("/1/taken_at", "time-unreadable"),
        ("/2/temperature", "out-of-range"),
        ("/2/humidity_percent", "number-unreadable"),
    ]
    assert [each["detail"][:7] for each in problem["errors"]] == ["Line 3:", "Line 4:", "Line 4:"]
    assert kept() == []


def test_a_reading_still_to_come_refuses_the_file(technician, path):
    tomorrow = timezone.now() + timedelta(days=1)
    rows = f"2026-02-03 12:00,20.5,45\n{tomorrow:%Y-%m-%d %H:%M}Z,20.5,45\n"
    problem = technician.post(path, HEADER + rows, status=400)
    assert wrong(problem) == [("/1/taken_at", "in-the-future")]
    assert problem["errors"][0]["detail"].startswith("Line 3: ")
    assert kept() == []


@pytest.mark.parametrize(
    ("body", "sentence"),
    [
        ("time,temperature_c\n", "There is no header row"),
        ("time,temperature,rh\n2026-02-03 12:00,20,45\n", "say temperature_unit=C or F"),
        (HEADER, "no rows"),
    ],
)
def test_a_file_that_is_none_is_malformed(technician, path, body, sentence):
    problem = technician.post(path, body, status=400)
    assert problem["type"].endswith("/problems/malformed-csv")
    assert sentence in problem["detail"]


def test_a_file_in_another_encoding_is_malformed(technician, path):
    body = "time,temperature (°C),rh\n".encode("latin-1")
    response = technician.browser.generic(
        "POST", f"/api/v1/{path}", body, "text/csv", headers=technician.headers
    )
    assert response.json()["type"].endswith("/problems/malformed-csv")


def test_what_is_kept_already_is_passed_over_so_that_a_memory_may_be_sent_again(technician, path):
    technician.post(path, logged(3), status=200)
    answer = technician.post(path, logged(5), status=200)
    assert (answer["stored_count"], answer["known_count"]) == (2, 3)
    assert technician.post(path, logged(5), status=200)["stored_count"] == 0
    assert len(kept()) == 5


def test_a_row_twice_in_a_file_is_kept_once(technician, path):
    row = "2026-02-03 12:00,20.5,45\n"
    answer = technician.post(path, HEADER + row + row, status=200)
    assert (answer["stored_count"], answer["known_count"]) == (1, 1)


def test_two_readings_of_one_time_that_differ_refuse_the_file(technician, path):
    rows = "2026-02-03 12:00,20.5,45\n2026-02-03 12:00Z,20.5,46\n"
    problem = technician.post(path, HEADER + rows, status=400)
    assert wrong(problem) == [("/1/taken_at", "given-twice")]
    assert kept() == []


def test_a_reading_that_differs_from_the_kept_one_is_a_conflict(technician, instrument, path):
    RoomReadingFactory(
        instrument=instrument,
        taken_at=NOON + timedelta(minutes=10),
        temperature_c="19.0",
        humidity_percent="45.0",
    )
    problem = technician.post(path, logged(3), status=409)
    assert problem["type"].endswith("/problems/reading-exists")
    assert wrong(problem) == [("/1/taken_at", "reading-exists")]
    assert "19.0 °C, 45.0 %" in problem["detail"]
    assert len(kept()) == 1
    # Inside the instrument it was another reading.
    assert technician.post(f"{path}?place=inside", logged(3), status=200)["stored_count"] == 3


def test_the_parameters_are_checked(technician, path):
    problem = technician.post(
        f"{path}?place=cellar&temperature_unit=K&date_order=ydm", logged(1), status=400
    )
    assert wrong(problem) == [
        ("place", "invalid-choice"),
        ("temperature_unit", "invalid-choice"),
        ("date_order", "invalid-choice"),
    ]


def test_the_readings_of_no_instrument_are_not_found(technician, db):
    technician.post("instruments/987654/readings", logged(1), status=404)


def test_nobody_else_keeps_readings(nobody, path):
    nobody.post(path, logged(1), status=401)


def test_a_long_file_costs_as_many_statements_as_a_short_one(technician, path):
    counts = []
    for rows, humidity in [(1, "45.0"), (5001, "50.0")]:
        RoomReading.objects.all().delete()
        with CaptureQueriesContext(connection) as captured:
            technician.post(path, logged(rows, humidity), status=200)
        counts.append(len(captured))
    assert counts[0] == counts[1]
    assert RoomReading.objects.count() == 5001
