from datetime import UTC, datetime, timedelta
from xml.etree import ElementTree

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from diagnostics.queries.room import room_verdict_at
from shop.models import ShopProfile
from tests.diagnostics.api.conftest import wrong
from tests.factories.diagnostics import RoomReadingFactory
from tests.factories.shop import InstrumentFactory, WoodSpeciesFactory

SVG = "{http://www.w3.org/2000/svg}"
PERIOD = "since=2026-02-01&until=2026-02-03"


def at(day, hour=12):
    return datetime(2026, 2, day, hour, tzinfo=UTC)


def read(instrument, taken_at, humidity, **columns):
    values = {"temperature_c": "21.1", "humidity_percent": humidity, **columns}
    return RoomReadingFactory(instrument=instrument, taken_at=taken_at, **values)


@pytest.fixture
def instrument(db):
    """In range on 1 February, nothing on the 2nd, damp on the 3rd, all at 70 °F."""
    made = InstrumentFactory(maker="Hallow & Finch", model="114", serial_number="1")
    read(made, at(1, 8), 40)
    read(made, at(1, 20), 60)
    read(made, at(3), 75)
    return made


@pytest.fixture
def path(instrument):
    return f"instruments/{instrument.pk}/room"


# Source: Wood Handbook, FPL-GTR-282 (2021), Table 4-2, at 70 °F: 9.2 % at 50 %, 14.4 % at 75 %, and
# between 7.7 % at 40 % and 8.5 % at 45 % for the target. Of the dew points and absolute
# humidities: psychrolib.
def test_a_room_is_summed_up_by_the_day(technician, instrument, path):
    answer = technician.get(f"{path}?{PERIOD}")
    assert answer["instrument"] == instrument.pk
    assert (answer["place"], answer["since"], answer["until"]) == (
        "room",
        "2026-02-01",
        "2026-02-03",
    )
    assert answer["limits"] == {
        "target_percent": 42.0,
        "lowest_percent": 35.0,
        "highest_percent": 55.0,
    }
    first, last = answer["days"]
    assert first == {
        "on": "2026-02-01",
        "readings_count": 2,
        "mean": {
            "temperature_c": 21.1,
            "humidity_percent": 50.0,
            "moisture_percent": 9.2,
            "dew_point_c": 10.3,
            "absolute_humidity_g_m3": 9.2,
            "is_extrapolated": False,
        },
        "lowest_temperature_c": 21.1,
        "highest_temperature_c": 21.1,
        "lowest_humidity_percent": 40.0,
        "highest_humidity_percent": 60.0,
    }
    assert (last["on"], last["readings_count"]) == ("2026-02-03", 1)
    assert last["mean"]["moisture_percent"] == 14.4


def test_a_room_is_judged_with_every_number_behind_it(technician, path):
    verdict = technician.get(f"{path}?{PERIOD}")["verdict"]
    evidence = verdict["evidence"]
    assert (verdict["state"], verdict["explains_tight_cloth"]) == ("damp", True)
    assert "75 % is above the highest of 55 %" in verdict["sentence"]
    assert (verdict["at"], verdict["days_count"]) == ("2026-02-04T00:00:00Z", 2)
    assert evidence["now"]["taken_at"] == "2026-02-03T12:00:00Z"
    assert evidence["now"]["moisture_percent"] == 14.4
    assert evidence["dryest"]["moisture_percent"] == 9.2
    assert evidence["target_moisture_percent"] == 8.0
    assert evidence["above_target_percent"] == 6.4
    assert evidence["rise_percent"] == 5.2
    assert verdict["formulas"][0]["source"] == "Wood Handbook, FPL-GTR-282 (2021), chapter 4"


def test_the_shops_own_limits_decide(technician, path):
    ShopProfile.objects.update(humidity_highest_percent=80)
    verdict = technician.get(f"{path}?{PERIOD}")["verdict"]
    assert verdict["state"] == "swung"


def test_days_begin_in_the_shops_zone(technician, instrument, path, settings):
    # Source: IANA time zone database, Pacific/Auckland is 13 hours ahead of UTC in February.
    settings.TIME_ZONE = "Pacific/Auckland"
    days = technician.get(f"{path}?since=2026-02-01&until=2026-02-04")["days"]
    assert [(day["on"], day["readings_count"]) for day in days] == [
        ("2026-02-01", 1),
        ("2026-02-02", 1),
        ("2026-02-04", 1),
    ]


def test_the_place_read_last_is_shown_unless_another_is_asked_for(technician, instrument, path):
    read(instrument, at(3, 13), 45, place="inside")
    answer = technician.get(f"{path}?{PERIOD}")
    assert (answer["place"], answer["verdict"]["state"]) == ("inside", "in_range")
    answer = technician.get(f"{path}?{PERIOD}&place=room")
    assert (answer["place"], answer["verdict"]["state"]) == ("room", "damp")


def test_without_a_period_it_is_the_last_ninety_days(technician, instrument, path):
    now = timezone.now()
    read(instrument, now - timedelta(days=100), 50)
    read(instrument, now - timedelta(hours=1), 50)
    answer = technician.get(path)
    today = timezone.localdate()
    assert answer["until"] == str(today)
    assert answer["since"] == str(today - timedelta(days=89))
    assert answer["verdict"]["state"] == "in_range"


def test_a_room_that_nobody_read_is_unknown(technician, db):
    answer = technician.get(f"instruments/{InstrumentFactory().pk}/room")
    assert (answer["place"], answer["days"]) == ("room", [])
    assert answer["verdict"]["state"] == "unknown"
    assert answer["verdict"]["evidence"] is None


@pytest.mark.parametrize(
    ("query", "parameter", "code"),
    [
        ("since=2026-02-04&until=2026-02-03", "since", "after-until"),
        ("since=2020-01-01&until=2026-02-03", "since", "too-many-days"),
        ("until=2999-01-01", "until", "out-of-range"),
        ("until=0001-12-31", "until", "overflow"),
        ("since=0001-12-31", "since", "overflow"),
        ("since=0002-01-01", "since", "too-many-days"),
        ("since=yesterday", "since", "invalid"),
        ("place=cellar", "place", "invalid-choice"),
        ("species=unobtainium&width_mm=20", "species", "does-not-exist"),
        ("width_mm=0", "width_mm", "min-value"),
        ("width_mm=22.5", "species", "required"),
        ("moisture_percent=0", "moisture_percent", "min-value"),
        (f"{PERIOD}&moisture_percent=29", "moisture_percent", "out-of-range"),
    ],
)
def test_a_question_that_cannot_be_answered_is_refused(technician, path, query, parameter, code):
    problem = technician.get(f"{path}?{query}", status=400)
    assert wrong(problem) == [(parameter, code)]


# Source: Wood Handbook, FPL-GTR-190 (2010), chapter 13 (basswood: 0.00230 and 0.00330, total
# shrinkage 6.6 and 9.3 %). From 8.0 to 14.4 % the second equation: 22.5 x 6.4 / (3000 / 9.3 - 22.0)
# is 0.479 mm, and radially 0.333 mm.
def test_a_piece_of_wood_moves_as_published(technician, path):
    WoodSpeciesFactory(
        code="basswood",
        radial_coefficient="0.00230",
        tangential_coefficient="0.00330",
        radial_shrinkage_percent="6.6",
        tangential_shrinkage_percent="9.3",
        source="Tables 13-5 and 4-3",
    )
    answer = technician.get(f"{path}?{PERIOD}&species=basswood&width_mm=22.5")
    movement = answer["movement"]
    assert (movement["species"], movement["width_mm"]) == ("basswood", 22.5)
    assert movement["source"] == "Tables 13-5 and 4-3"
    to_now, over_days = movement["changes"]
    assert (to_now["between"], to_now["from_percent"], to_now["to_percent"]) == (
        "target and now",
        8.0,
        14.4,
    )
    assert to_now["radial"]["change_mm"] == pytest.approx(0.333, abs=0.004)
    assert to_now["tangential"]["change_mm"] == pytest.approx(0.479, abs=0.004)
    assert to_now["tangential"]["is_extrapolated"]
    assert (over_days["from_percent"], over_days["to_percent"]) == (9.2, 14.4)


def test_the_wood_of_the_keys_moves_when_no_other_is_named(technician, instrument, path):
    assert technician.get(f"{path}?{PERIOD}")["movement"] is None
    instrument.key_wood = WoodSpeciesFactory(code="lime")
    instrument.save()
    movement = technician.get(f"{path}?{PERIOD}&width_mm=22.5")["movement"]
    assert movement["species"] == "lime"


# Source: Wood Handbook, FPL-GTR-282 (2021), Table 4-2, at 70 °F: 7.7 % at 40 % humidity.
def test_the_humidity_for_a_moisture_content_is_told(technician, path):
    assert technician.get(f"{path}?{PERIOD}")["wanted"] is None
    wanted = technician.get(f"{path}?{PERIOD}&moisture_percent=7.7")["wanted"]
    assert wanted["humidity_percent"] == pytest.approx(40, abs=0.7)
    assert (wanted["moisture_percent"], wanted["temperature_c"]) == (7.7, 21.1)
    assert "Wood Handbook" in wanted["formula"]["source"]


def test_a_room_is_drawn(technician, path):
    drawn = technician("GET", f"{path}-chart?{PERIOD}")
    assert drawn["Content-Type"] == "image/svg+xml; charset=utf-8"
    root = ElementTree.fromstring(drawn.content)
    assert root.findtext(f"{SVG}title") == "Hallow & Finch 114 1, upright: the room"
    assert "3 readings on 2 days" in root.findtext(f"{SVG}desc")
    assert "75 % is above the highest" in root.findtext(f"{SVG}desc")
    days = [each.get("data-on") for each in root.iter() if each.get("class") == "day"]
    assert days == ["2026-02-01", "2026-02-03"] * 3


def test_a_room_is_written_for_a_terminal(technician, path):
    text = technician("GET", f"{path}-chart?{PERIOD}&format=text&width=80").content.decode()
    assert text.startswith("Hallow & Finch 114 1, upright: the room\n")
    assert max(map(len, text.splitlines())) <= 80


def test_the_room_at_a_time_is_that_of_the_weeks_before(instrument):
    assert room_verdict_at(instrument, at(2)).state == "in_range"
    assert room_verdict_at(instrument, at(4)).state == "damp"
    assert room_verdict_at(instrument, at(20)).state == "unknown"


def test_a_room_costs_as_many_statements_for_many_readings_as_for_one(technician, path, instrument):
    def statements(address):
        with CaptureQueriesContext(connection) as captured:
            assert technician("GET", address).status_code == 200
        return len(captured)

    addresses = [f"{path}?{PERIOD}", f"{path}-chart?{PERIOD}"]
    few = [statements(address) for address in addresses]
    for hour in range(24):
        read(instrument, at(2, hour), 50)
    assert [statements(address) for address in addresses] == few


def test_nobody_else_sees_a_room(nobody, path):
    nobody.get(path, status=401)
