from datetime import UTC, datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest

from diagnostics.rules.logger_columns import LoggerFileError
from diagnostics.rules.logger_file import MOST_ROWS, LoggerFormat, logger_file_read
from diagnostics.rules.logger_times import DateOrder
from diagnostics.rules.logger_values import TemperatureUnit

# Source of its clock changes: IANA time zone database, Europe/Berlin. 2026-03-29 02:00 CET became
# 03:00 CEST, and 2026-10-25 03:00 CEST became 02:00 CET.
BERLIN = ZoneInfo("Europe/Berlin")
HEADER = "timestamp,temperature_c,humidity_percent\n"


def read(text, zone=UTC, unit=None, date_order=DateOrder.YEAR_FIRST):
    return logger_file_read(text, LoggerFormat(zone, unit, date_order))


def instants(*times, zone=BERLIN, **options):
    """Return the instants of a file of these times, or the codes of what is wrong with them."""
    rows = "".join(f'"{time}",20,45\n' for time in times)
    file = read(HEADER + rows, zone, **options)
    found = {each.row: f"{each.taken_at:%m-%d %H:%M:%S}" for each in file.readings}
    found |= {each.row: each.code for each in file.problems}
    return [found[row] for row in range(len(times))]


def values(text, **options):
    return [
        (str(each.temperature_c), str(each.humidity_percent))
        for each in read(text, **options).readings
    ]


# Invented files, in the shapes that loggers write.
@pytest.mark.parametrize(
    "text",
    [
        "timestamp,temperature_c,humidity_percent\n2026-07-01T12:00:00Z,20.5,45.3\n",
        "Date/Time;Temperature (°C);RH (%)\r\n2026-07-01 12:00;20,5;45,3\r\n",
        "Date\tTime\tTemp, °C\t%RH\n2026-07-01\t12:00\t20.5\t45.3\n",
        "DateTime|Celsius(℃)|Relative Humidity\n2026/07/01 12:00:00|20.5|45.3\n",
        "No.,Time,Celsius,Humidity(%rh),Dew Point(℃)\n1,2026-07-01 12:00,20.5,45.3,8.4\n",
        "Logger 7\nRoom: music\n\nTime,Humidity,Temp C\n2026-07-01 12:00,45.3,20.5\n",
        '"time","temperature, C","RH"\n"2026-07-01 12:00","20.5","45.3"\n\n,,\n',
        "Time zone,Time,T wet bulb C,Temperature C,RH\nUTC,2026-07-01 12:00,15,20.5,45.3\n",
    ],
)
def test_a_file_is_read_by_its_header(text):
    file = read(text)
    assert file.problems == []
    [reading] = file.readings
    assert reading.taken_at == datetime(2026, 7, 1, 12, tzinfo=UTC)
    assert (reading.temperature_c, reading.humidity_percent) == (Decimal("20.5"), Decimal("45.3"))


# 68 °F is 20 °C and -4 °F is -20 °C, by definition; 69.8 °F is 21 °C.
@pytest.mark.parametrize(
    ("header", "unit", "written", "celsius"),
    [
        ("Temp (°F)", None, "68", "20.0"),
        ("temperature_f", None, "-4", "-20.0"),
        ("Fahrenheit", None, "69.8", "21.0"),
        ("Temperature", TemperatureUnit.FAHRENHEIT, "69.8", "21.0"),
        ("Temperature", TemperatureUnit.CELSIUS, "21.04", "21.0"),
        ("Temperature (°C)", TemperatureUnit.FAHRENHEIT, "21.05", "21.1"),
    ],
)
def test_the_header_says_the_unit_or_else_the_caller(header, unit, written, celsius):
    text = f"time,{header},RH\n2026-07-01 12:00,{written},45\n"
    assert values(text, unit=unit) == [(celsius, "45.0")]


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "There is no header row"),
        ("2026-07-01 12:00,20,45\n", "There is no header row"),
        ("x" * 200_000, "There is no header row"),
        (HEADER + "x" * 200_000, "Line 2 is not CSV: field larger than field limit"),
        ("date,temperature_c,rh\n2026-07-01,20,45\n", "There is no header row"),
        ("time,temperature,rh\n2026-07-01 12:00,20,45\n", "say temperature_unit=C or F"),
        ("time,temp 1 (C),temp 2 (C),rh\n", "'temp 1 (C)', 'temp 2 (C)' say the same"),
        (HEADER, "no rows below the header"),
        (HEADER + "\n,,\n", "no rows below the header"),
        (HEADER + '2026-07-01 12:00,"20"5,45\n', "Line 2 is not CSV"),
        (HEADER + "2026-07-01 12:00,20,45\n" * (MOST_ROWS + 1), "more than 60000 rows"),
    ],
)
def test_a_file_that_cannot_be_read_as_a_whole_says_why(text, sentence):
    with pytest.raises(LoggerFileError) as error:
        read(text)
    assert sentence in str(error.value)


def test_every_bad_row_is_named_by_its_line_and_column():
    text = (
        "Logger 7\n"
        + HEADER
        + "2026-07-01 12:00,20,45\n"
        + "yesterday,20,45\n"
        + "2026-07-01 12:20,twenty,---\n"
        + "\n"
        + "2026-07-01 12:30,20\n"
        + "2026-07-01 12:40,60.1,100.1\n"
        + "2026-07-01 12:50,NaN,0.04\n"
    )
    found = [(each.row, each.line, each.column, each.code) for each in read(text).problems]
    assert found == [
        (1, 4, "taken_at", "time-unreadable"),
        (2, 5, "temperature", "number-unreadable"),
        (2, 5, "humidity_percent", "number-unreadable"),
        (3, 7, "", "wrong-width"),
        (4, 8, "temperature", "out-of-range"),
        (4, 8, "humidity_percent", "out-of-range"),
        (5, 9, "temperature", "number-unreadable"),
        (5, 9, "humidity_percent", "out-of-range"),
    ]


@pytest.mark.parametrize("temperature", ["-30", "60"])
@pytest.mark.parametrize("humidity", ["0.1", "100"])
def test_the_ends_of_what_a_room_can_have_are_taken(temperature, humidity):
    assert len(values(f"{HEADER}2026-07-01 12:00,{temperature},{humidity}\n")) == 1


@pytest.mark.parametrize(
    ("order", "written"),
    [
        (DateOrder.YEAR_FIRST, "2026-07-01 15:04:05"),
        (DateOrder.YEAR_FIRST, "2026/7/1 15:04:05.123"),
        (DateOrder.DAY_FIRST, "2026-07-01 15:04:05"),
        (DateOrder.DAY_FIRST, "01.07.2026 15:04:05"),
        (DateOrder.DAY_FIRST, "1/7/26, 3:04:05 PM"),
        (DateOrder.MONTH_FIRST, "07/01/2026 03:04:05 pm"),
        (DateOrder.MONTH_FIRST, "7-1-26 15:04:05"),
        (DateOrder.YEAR_FIRST, "2026-07-01T17:04:05+02:00"),
        (DateOrder.YEAR_FIRST, "2026-07-01 10:04:05-0500"),
    ],
)
def test_dates_are_read_in_the_order_that_is_said(order, written):
    assert instants(written, zone=UTC, date_order=order) == ["07-01 15:04:05"]


@pytest.mark.parametrize(
    ("written", "code"),
    [
        ("01/07/2026 12:00", "date-order-unsaid"),
        ("2026-07-01", "time-unreadable"),
        ("2026-02-29 12:00", "time-unreadable"),
        ("2026-07-01 24:00", "time-unreadable"),
        ("2026-07-01 13:00 PM", "time-unreadable"),
        ("1899-12-30 12:00", "time-unreadable"),
        ("2026-07-01 12:00+25:00", "time-unreadable"),
        ("20260701 12:00", "time-unreadable"),
        ("٢٠٢٦-07-01 12:00", "time-unreadable"),
    ],
)
def test_a_time_that_cannot_be_told_is_named(written, code):
    assert instants(written, zone=UTC) == [code]


def test_times_without_an_offset_are_in_the_zone_that_is_given():
    assert instants("2026-01-15 12:00", "2026-07-15 12:00", "2026-07-15 12:00Z") == [
        "01-15 11:00:00",
        "07-15 10:00:00",
        "07-15 12:00:00",
    ]


def test_a_time_that_clocks_left_out_is_named():
    assert instants("2026-03-29 01:59", "2026-03-29 02:30", "2026-03-29 03:00") == [
        "03-29 00:59:00",
        "time-left-out",
        "03-29 01:00:00",
    ]


def test_the_hour_that_came_twice_is_told_apart_when_the_file_runs_through_it_twice():
    passes = ["2026-10-25 02:00", "2026-10-25 02:30"]
    found = instants("2026-10-25 01:30", *passes, *passes, "2026-10-25 03:00")
    assert found == [
        "10-24 23:30:00",
        "10-25 00:00:00",
        "10-25 00:30:00",
        "10-25 01:00:00",
        "10-25 01:30:00",
        "10-25 02:00:00",
    ]


def test_hourly_readings_of_the_hour_that_came_twice_are_told_apart():
    hours = ["2026-10-25 02:00", "2026-10-25 02:00"]
    assert instants(*hours) == ["10-25 00:00:00", "10-25 01:00:00"]


# Newest first, or a logger that never changes its clock: nobody can tell.
@pytest.mark.parametrize(
    "hours",
    [
        ["02:30"],
        ["02:00", "02:30"],
        ["02:30", "02:00", "02:30", "02:00"],
    ],
)
def test_an_hour_that_came_twice_and_cannot_be_told_apart_is_named(hours):
    found = instants(*(f"2026-10-25 {hour}" for hour in hours))
    assert found == ["time-came-twice"] * len(hours)


def test_an_offset_tells_the_hour_that_came_twice():
    assert instants("2026-10-25 02:30+02:00", "2026-10-25 02:30+01:00") == [
        "10-25 00:30:00",
        "10-25 01:30:00",
    ]
