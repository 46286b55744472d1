"""Friction of a flange as torque, swings by one convention, and both against a range."""

from decimal import Decimal
from enum import StrEnum

# Standard gravity, 9.80665 m/s2 exactly, makes one gram-force millimetre so many mN.m.
# Source: BIPM, The International System of Units, resolution 2 of the 3rd CGPM (1901).
MN_M_PER_GF_MM = Decimal("0.00980665")


class Standing(StrEnum):
    """Where a value lies by a range, whose ends belong to it."""

    LOW = "low"
    WITHIN = "within"
    HIGH = "high"


def torque_gf_mm(force_g: Decimal, radius_mm: Decimal) -> Decimal:
    """Return the torque, in gram-force millimetres, of a friction measured at a radius.

    Grams without a radius are meaningless: the same flange shows fewer the farther out.
    """
    return force_g * radius_mm


def torque_mn_m(force_g: Decimal, radius_mm: Decimal) -> Decimal:
    """Return the same torque in millinewton metres."""
    return torque_gf_mm(force_g, radius_mm) * MN_M_PER_GF_MM


def force_at(force_g: Decimal, radius_mm: Decimal, other_radius_mm: Decimal) -> Decimal:
    """Return what the same flange would show at another radius, in grams."""
    return torque_gf_mm(force_g, radius_mm) / other_radius_mm


def passes(swings: Decimal, counted: str) -> Decimal:
    """Return how often the hammer passed through the bottom: twice in each full cycle.

    `counted` is passes or full_cycles.
    """
    return swings * {"passes": 1, "full_cycles": 2}[counted]


def standing(value: Decimal, low: Decimal | None, high: Decimal | None) -> Standing:
    """Return where a value lies by a range, which may be open at one end."""
    if low is not None and value < low:
        return Standing.LOW
    if high is not None and value > high:
        return Standing.HIGH
    return Standing.WITHIN
