from decimal import Decimal

import pytest

from diagnostics.rules.friction import (
    Standing,
    force_at,
    passes,
    standing,
    torque_gf_mm,
    torque_mn_m,
)

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


def test_the_same_flange_shows_half_the_force_at_twice_the_radius():
    assert force_at(D(5), D(23), D(46)) == D("2.5")


def test_a_full_cycle_is_two_passes_through_the_bottom():
    assert passes(D(3), "full_cycles") == passes(D(6), "passes") == 6
    with pytest.raises(KeyError):
        passes(D(3), "guessed")


@pytest.mark.parametrize(
    ("value", "low", "high", "expected"),
    [
        ("1.9", 2, 5, Standing.LOW),
        ("2", 2, 5, Standing.WITHIN),
        ("5", 2, 5, Standing.WITHIN),
        ("5.1", 2, 5, Standing.HIGH),
        ("0", None, 5, Standing.WITHIN),
        ("99", 2, None, Standing.WITHIN),
    ],
)
def test_a_value_stands_by_its_range(value, low, high, expected):
    assert standing(D(value), low, high) == expected
