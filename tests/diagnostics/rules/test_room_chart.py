from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise

import pytest

from diagnostics.rules.pictures.room import room_svg
from diagnostics.rules.room import HumidityLimits, Reading, RoomDay
from diagnostics.rules.room_text import room_text
from diagnostics.rules.room_words import RoomSpan
from tests.diagnostics.rules.drawn import SVG, of_class, read, texts

LIMITS = HumidityLimits(target_percent=42, lowest_percent=35, highest_percent=55)
FIRST = date(2026, 3, 2)
TITLE, VERDICT = "Hallow & Finch 114: the room", "72 % is above the highest of 55 %."


def day(number, humidity, spread=5.0, temperature=20.0):
    on = FIRST + timedelta(days=number)
    taken_at = datetime.combine(on, time(22), UTC)
    return RoomDay(
        on,
        24,
        Reading(taken_at, temperature, humidity),
        temperature - 1,
        temperature + 1,
        humidity - spread,
        humidity + spread,
    )


DAYS = [day(0, 45), day(1, 50), day(4, 72)]
SPAN = RoomSpan(FIRST, FIRST + timedelta(days=6))


def drawn(days=DAYS, span=SPAN, limits=LIMITS):
    return read(room_svg(days, span, limits, VERDICT, title=TITLE))


def written(days=DAYS, **options):
    return room_text(days, SPAN, LIMITS, VERDICT, title=TITLE, **options)


def test_a_screen_reader_is_told_what_is_drawn():
    root = drawn()
    assert root.get("role") == "img"
    assert root.findtext(f"{SVG}title") == TITLE
    described = root.findtext(f"{SVG}desc")
    for words in (
        "2026-03-02 to 2026-03-08: 72 readings on 3 days",
        # Source of the moisture contents: Wood Handbook, Table 4-2, 70 °F: 8.5 % at 45 % and, at
        # 70 and 75 %, 13.1 and 14.4 %.
        "Humidity 40 to 77 %, temperature 19.0 to 21.0 °C, wood settles at 8.5 to 13.6 %",
        VERDICT,
        "accepted humidity: 35 to 55 %",
    ):
        assert words in described


def test_each_of_the_three_charts_has_a_dot_for_each_day_in_words():
    dots = of_class(drawn(), "day")
    assert [dot.get("data-on") for dot in dots] == ["2026-03-02", "2026-03-03", "2026-03-06"] * 3
    assert dots[0].findtext(f"{SVG}title") == (
        "2026-03-02: 45 % (40 to 50), 20.0 °C (19.0 to 21.0), wood 8.5 %, 24 readings"
    )


def test_the_damper_the_day_the_higher_stands_its_dot():
    heights = [float(dot.get("cy")) for dot in of_class(drawn(), "day")]
    assert heights[0] > heights[1] > heights[2]  # humidity
    assert heights[3] == heights[4] == heights[5]  # temperature
    assert heights[6] > heights[7] > heights[8]  # moisture content


def test_days_in_a_row_are_joined_and_a_gap_stays_one():
    for join in of_class(drawn(), "join"):
        assert join.get("d").count("M") == 1
    assert of_class(drawn([day(0, 45), day(2, 50)]), "join") == []


def test_the_band_of_accepted_humidity_has_a_pattern_and_its_limits_have_names():
    root = drawn()
    [band] = of_class(root, "accepted")
    assert band.get("fill") == "url(#accepted)"
    assert [each.get("id") for each in root.iter(f"{SVG}pattern")].count("accepted") == 1
    # On a scale from 0 to 100 % the limits stand 20 % of its height apart.
    scale = 170
    assert float(band.get("height")) == pytest.approx(0.20 * scale)
    assert float(band.get("y")) == pytest.approx(0.45 * scale)
    names = texts(root)
    assert {"highest 55 %", "target 42 %", "lowest 35 %", "at target 8.0 %"} <= set(names)


def test_the_target_is_told_from_the_limits_without_colour():
    dashed = [mark.get("stroke-dasharray") for mark in of_class(drawn(), "mark")]
    assert [bool(each) for each in dashed] == [False, True, False, True]


def test_names_of_limits_that_are_close_stand_apart():
    root = drawn(limits=HumidityLimits(42, 41, 43))
    lines = [
        float(each.get("y"))
        for each in root.iter(f"{SVG}text")
        if (each.text or "").startswith(("highest ", "target ", "lowest "))
    ]
    assert len(lines) == 3
    # The letters are 17 high.
    assert all(later - earlier > 16.9 for earlier, later in pairwise(lines))


@pytest.mark.parametrize("count", [1, 7, 8, 90, 366, 1100])
def test_dates_are_few_enough_to_be_read(count):
    span = RoomSpan(FIRST, FIRST + timedelta(days=count - 1))
    dates = [each for each in texts(drawn([day(0, 45)], span)) if each.startswith("20")]
    labels = [each for each in dates if len(each) == len("2026-03-02")]
    assert 1 <= len(labels) / 3 <= 7
    assert labels[0] == "2026-03-02"


def test_nothing_is_fetched_from_elsewhere():
    document = room_svg(DAYS, SPAN, LIMITS, VERDICT, title=TITLE)
    addresses = [part.partition('"')[0] for part in document.split("http")[1:]]
    assert addresses == ["://www.w3.org/2000/svg"]
    assert "href" not in document
    assert "<script" not in document


def test_a_title_is_text_and_nothing_else():
    document = room_svg(DAYS, SPAN, LIMITS, VERDICT, title="<script>alert(1)</script> & co")
    assert read(document).findtext(f"{SVG}title") == "<script>alert(1)</script> & co"


def test_one_reading_has_no_bars():
    assert of_class(drawn([day(0, 45, spread=0)]), "bars")[0].get("d").count("M") == 1
    assert len(of_class(drawn(), "bars")) == 2  # wood has none


def test_a_room_that_nobody_read_says_so():
    assert "2026-03-02 to 2026-03-08: no readings" in drawn([]).findtext(f"{SVG}desc")
    assert of_class(drawn([]), "day") == []
    assert "no readings" in written([])


def test_text_has_a_line_for_each_day_with_the_humidity_on_a_scale():
    lines = written(width=134).splitlines()
    rows = [line for line in lines if line.startswith("2026-03-0")][1:]
    assert [row[:33].split() for row in rows] == [
        ["2026-03-02", "20.0", "45", "8.5"],
        ["2026-03-03", "20.0", "50", "9.3"],
        ["2026-03-06", "20.0", "72", "13.6"],
    ]
    # A column for each percent: 0 to 100 in the last 101.
    scales = [row[-101:] for row in rows]
    assert [scale.index("*") for scale in scales] == [45, 50, 72]
    assert [scales[0].index(mark) for mark in "[|]"] == [35, 42, 55]


@pytest.mark.parametrize("width", [40, 80, 200])
def test_text_keeps_within_its_width(width):
    assert max(map(len, written(width=width).splitlines())) <= width


def test_colour_marks_days_outside_the_limits_alone():
    days = [day(0, 45), day(1, 72), day(2, 22)]
    coloured = [line for line in written(days, colour=True).splitlines() if "\x1b" in line]
    assert [line[2:6] for line in coloured] == ["1;34", "1;31"]
    assert "\x1b" not in written(days)
