"""Friction of a flange as torque, swings by one convention, and both against a range."""

from decimal import Decimal

from diagnostics.rules.formulas import Formula
from diagnostics.rules.ranges import Range, Standing

STANDARD_GRAVITY = Formula(
    "torque = force x radius, with standard gravity 9.80665 m/s2",
    "BIPM, The International System of Units; 3rd CGPM (1901), resolution 2.",
)

# Standard gravity, 9.80665 m/s2 exactly, makes one gram-force millimetre so many mN.m.
# Source: BIPM, The International System of Units, resolution 2 of the 3rd CGPM (1901).
MN_M_PER_GF_MM = Decimal("0.00980665")
# How often the hammer passes through the bottom in one swing, as it was counted.
PASSES_OF = {"passes": Decimal(1), "full_cycles": Decimal(2)}


def torque_gf_mm(force_g: Decimal, radius_mm: Decimal) -> Decimal:
    """Return the torque, in gram-force millimetres, of a friction measured at a radius.

    Grams without a radius are meaningless: the same flange shows fewer the farther out.
    """
    return force_g * radius_mm


def torque_mn_m(force_g: Decimal, radius_mm: Decimal) -> Decimal:
    """Return the same torque in millinewton metres."""
    return torque_gf_mm(force_g, radius_mm) * MN_M_PER_GF_MM


def passes(swings: Decimal, counted: str) -> Decimal:
    """Return how often the hammer passed through the bottom.

    `counted` is passes or full_cycles.
    """
    return swings * PASSES_OF[counted]


def friction_standing(
    force_g: Decimal, radius_mm: Decimal, grams: Range, grams_radius_mm: Decimal
) -> Standing:
    """Return how friction lies to a range of grams at another radius: torques are compared."""
    return grams.times(grams_radius_mm).standing(torque_gf_mm(force_g, radius_mm))


def swings_standing(swings: Decimal, counted: str, limits: Range, limits_counted: str) -> Standing:
    """Return how swings lie to a range that may be counted in the other way."""
    return limits.times(PASSES_OF[limits_counted]).standing(passes(swings, counted))
