from decimal import Decimal

import pytest

from diagnostics.rules.friction import (
    friction_standing,
    passes,
    swings_standing,
    torque_gf_mm,
    torque_mn_m,
)
from diagnostics.rules.ranges import Range

D = Decimal


# A maker's technical manual, as quoted on a technicians' forum in 2023, gives hammer flanges 2 to 5
# g at 23 mm; the torques were calculated by hand with g = 9.80665 m/s2.
@pytest.mark.parametrize(
    ("force_g", "gf_mm", "mn_m"), [(2, "46", "0.45"), (5, "115", "1.13"), (0, "0", "0.00")]
)
def test_friction_becomes_torque_by_its_radius(force_g, gf_mm, mn_m):
    assert torque_gf_mm(D(force_g), D(23)) == D(gf_mm)
    assert round(torque_mn_m(D(force_g), D(23)), 2) == D(mn_m)


def test_a_kilogram_force_at_a_metre_is_standard_gravity():
    # BIPM, The International System of Units: 9.80665 N m.
    assert torque_mn_m(D(1000), D(1000)) == D("9806.65")


def test_a_full_cycle_is_two_passes_through_the_bottom():
    assert passes(D(3), "full_cycles") == passes(D(6), "passes") == 6
    with pytest.raises(KeyError):
        passes(D(3), "guessed")


def limits(low, high):
    return Range("range", "", "", low and D(low), high and D(high))


def test_the_same_flange_shows_half_the_force_at_twice_the_radius():
    # The maker's 2 to 5 g at 23 mm.
    grams = limits(2, 5)
    for force, expected in (("2.5", "within"), ("2.6", "high"), ("0.9", "low")):
        assert friction_standing(D(force), D(46), grams, D(23)) == expected
    assert grams.times(D(23) / D(46)) == limits(1, "2.5")


def test_limits_that_are_open_stay_open_in_another_measure():
    assert limits(None, 8).times(D(2)) == limits(None, 16)
    assert limits(2, None).times(D(2)) == limits(4, None)


@pytest.mark.parametrize(
    ("swings", "counted", "expected"),
    [("6", "passes", "within"), ("2", "passes", "low"), ("2", "full_cycles", "within")],
)
def test_swings_stand_by_limits_in_passes(swings, counted, expected):
    # 4 to 8 passes for a grand's hammer; six are right: common practice.
    assert swings_standing(D(swings), counted, limits(4, 8), "passes") == expected
