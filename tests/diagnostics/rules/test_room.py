from datetime import UTC, datetime, timedelta

import psychrolib
import pytest

from diagnostics.rules.room import (
    HumidityLimits,
    Reading,
    RoomState,
    absolute_humidity_g_m3,
    dew_point_c,
    room_verdict,
)

TEMPERATURES = range(0, 51, 5)
HUMIDITIES = (5, 10, 20, 30, 42, 50, 65, 80, 95, 100)
AT = datetime(2026, 7, 1, 12, tzinfo=UTC)
# The shop's defaults, an estimate.
LIMITS = HumidityLimits(target_percent=42, lowest_percent=35, highest_percent=55)


AIR = [(temperature, humidity) for temperature in TEMPERATURES for humidity in HUMIDITIES]
psychrolib.SetUnitSystem(psychrolib.SI)


# Reference: psychrolib 2.5 (ASHRAE Handbook: Fundamentals, 2017, chapter 1). Below 0 °C it gives
# the frost point, which is something else.
@pytest.mark.parametrize(("temperature", "humidity"), AIR)
def test_the_dew_point_is_that_of_the_reference_library(temperature, humidity):
    expected = psychrolib.GetTDewPointFromRelHum(temperature, humidity / 100)
    found = dew_point_c(temperature, humidity)
    assert found == pytest.approx(expected, abs=0.05) if expected >= 0 else found < 0


# The library gives kilograms of vapour per kilogram of dry air, and the volume of the latter.
@pytest.mark.parametrize(("temperature", "humidity"), AIR)
def test_the_vapour_in_the_air_is_that_of_the_reference_library(temperature, humidity):
    ratio = psychrolib.GetHumRatioFromRelHum(temperature, humidity / 100, 101325)
    expected = 1000 * ratio / psychrolib.GetMoistAirVolume(temperature, ratio, 101325)
    assert absolute_humidity_g_m3(temperature, humidity) == pytest.approx(expected, rel=0.004)


def test_air_without_vapour_has_no_dew_point():
    with pytest.raises(ValueError, match="no dew point"):
        dew_point_c(20, 0)


def verdict(*readings):
    """Return the verdict on humidities at 20 °C, each a number of days ago."""
    taken = [Reading(AT - timedelta(days=days), 20, humidity) for days, humidity in readings]
    return room_verdict(taken, at=AT, limits=LIMITS)


# Common practice: damp swells cloth and wood, also for some weeks after; dry does not.
@pytest.mark.parametrize(
    ("readings", "state", "explains"),
    [
        ([(0, 72)], RoomState.DAMP, True),
        ([(0, 55.1), (20, 25)], RoomState.DAMP, True),
        ([(0, 22)], RoomState.DRY, False),
        ([(0, 30), (10, 70)], RoomState.DRY, False),
        ([(0, 45)], RoomState.IN_RANGE, False),
        ([(0, 55)], RoomState.IN_RANGE, False),
        ([(0, 35)], RoomState.IN_RANGE, False),
        ([(0, 45), (10, 40), (41, 50)], RoomState.IN_RANGE, False),
        ([(0, 45), (10, 70)], RoomState.SWUNG, True),
        ([(0, 50), (20, 22)], RoomState.SWUNG, True),
        ([(0, 45), (43, 70)], RoomState.IN_RANGE, False),
        ([(6, 70), (20, 45)], RoomState.DAMP, True),
    ],
)
def test_the_state_is_told_by_now_and_the_weeks_before(readings, state, explains):
    found = verdict(*readings)
    assert (found.state, found.explains_tight_cloth) == (state, explains)


@pytest.mark.parametrize("readings", [[], [(8, 70)], [(-1, 70)]])
def test_without_a_reading_of_the_week_the_room_is_unknown(readings):
    found = verdict(*readings)
    assert found.state is RoomState.UNKNOWN
    assert not found.explains_tight_cloth
    assert found.evidence is None
    assert "measure the room first" in found.sentence


def test_readings_come_in_any_order():
    assert verdict((20, 22), (0, 50)) == verdict((0, 50), (20, 22))


def test_a_verdict_carries_the_numbers_behind_it():
    found = verdict((0, 50), (10, 25), (20, 40))
    evidence = found.evidence
    assert (found.readings_count, found.limits, found.at) == (3, LIMITS, AT)
    assert evidence.now.taken_at == AT
    assert evidence.dryest.humidity_percent == 25
    assert evidence.dampest.humidity_percent == 50
    # Source: Wood Handbook, Table 4-2, at 70 °F: 9.2 % at 50 %, 5.4 % at 25 %, 7.7 % at 40 %. It is
    # 68 °F here, and the target lies at 42 %.
    assert evidence.rise_percent == pytest.approx(9.2 - 5.4, abs=0.15)
    assert evidence.target_moisture_percent == pytest.approx(8.0, abs=0.1)
    assert evidence.above_target_percent == pytest.approx(9.2 - 8.0, abs=0.15)
    assert not evidence.now.is_extrapolated
    assert "equation 4-5" in found.formulas[0].name
    assert "Wood Handbook" in found.formulas[0].source
    assert found.formulas[1].source == "estimate"


def test_the_sentence_says_what_the_state_rests_on():
    assert "72 % is above the highest of 55 %" in verdict((0, 72)).sentence
    assert "22 % is below the lowest of 35 %" in verdict((0, 22)).sentence
    assert "the room was at 70 % (2026-06-21)" in verdict((0, 45), (10, 70)).sentence
    assert "the room was at 22 % (2026-06-11)" in verdict((0, 50), (20, 22)).sentence
    assert "One reading says nothing" in verdict((0, 45)).sentence
    assert "One reading" not in verdict((0, 45), (1, 45)).sentence


def test_air_beyond_the_published_table_is_flagged():
    assert verdict((0, 96)).evidence.now.is_extrapolated
