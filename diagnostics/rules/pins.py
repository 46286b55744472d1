"""Sizes of centre pins: two schemes that share their numbers, told apart by the diameter."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from diagnostics.rules.formulas import Formula

# The sizes that are made, in half sizes: 18 to 24 (from memory).
THINNEST, THICKEST = 36, 48
# Common practice: trials start at size 20.
FIRST_TRIED = 40
# Common practice: a pin of size 20 1/2 takes a reamer of size 21 1/2.
REAMER_ABOVE = 2

LABEL = re.compile(r"(?P<whole>[0-9]{1,2})(?P<half>\.50?| ?1/2| ?½)?")


class Scheme(StrEnum):
    """How a size number is turned into a diameter."""

    INCH = "inch"
    METRIC = "metric"


# Micrometres of size 0 and of each half size above it.
# Source: inch, thousandths are 10 + 2 N, a technician's public page on repinning hammer flanges;
# metric, 0.25 + 0.05 N mm, from memory.
OF_SCHEME = {
    Scheme.INCH: (Decimal(254), Decimal("25.4")),
    Scheme.METRIC: (Decimal(250), Decimal(25)),
}


FORMULAS = (
    Formula(
        "diameter of size N: inch, 10 + 2 N thousandths; metric, 0.25 + 0.05 N mm",
        "inch: a technician's public page on repinning hammer flanges; metric: from memory",
    ),
    Formula("reamer one full size above the pin", "common practice"),
    Formula(
        "a measured pin may be any size within half a size",
        "posts to a technicians' mailing list, 2003 and 2008",
    ),
)


@dataclass(frozen=True, order=True)
class PinSize:
    """A size by the number of halves in it: 41 is size 20 1/2."""

    half_sizes: int
    scheme: Scheme

    @property
    def diameter_um(self) -> int:
        """The diameter in whole micrometres."""
        zero, half_size = OF_SCHEME[self.scheme]
        return round(zero + self.half_sizes * half_size)

    @property
    def label(self) -> str:
        """The size as the shop's parts carry it: 20 or 20.5."""
        return f"{self.half_sizes // 2}{'.5' if self.half_sizes % 2 else ''}"

    @property
    def spoken(self) -> str:
        """The size as technicians write it: 20 or 20 1/2."""
        return f"{self.half_sizes // 2}{' 1/2' if self.half_sizes % 2 else ''}"

    @property
    def reamer(self) -> "PinSize":
        """The reamer for this pin, one full size above it, used lightly from both sides."""
        return self.above(REAMER_ABOVE)

    def above(self, half_sizes: int) -> "PinSize":
        """Return the size so many half sizes above, or below when it is negative."""
        return PinSize(self.half_sizes + half_sizes, self.scheme)


def parse_size(text: str, scheme: Scheme) -> PinSize:
    """Return the size that a label names: 20, 20.5, 20 1/2 or 20½.

    Raises:
        ValueError: it names no size.
    """
    found = LABEL.fullmatch(text.strip())
    if found is None:
        raise ValueError(f"{text!r} is no size of pin; write 20, 20.5 or 20 1/2.")
    return PinSize(2 * int(found["whole"]) + bool(found["half"]), scheme)


def nearest_size(diameter_um: int, scheme: Scheme) -> PinSize:
    """Return the size of `scheme` whose diameter is nearest."""
    zero, half_size = OF_SCHEME[scheme]
    return PinSize(round((diameter_um - zero) / half_size), scheme)


def ladder(schemes: Iterable[Scheme] = Scheme) -> list[PinSize]:
    """Return the sizes made, thinnest first, those of both schemes among each other."""
    sizes = [
        PinSize(halves, scheme) for scheme in schemes for halves in range(THINNEST, THICKEST + 1)
    ]
    return sorted(sizes, key=lambda size: (size.diameter_um, size.scheme))


def could_be(measured_um: int) -> list[PinSize]:
    """Return the sizes that a measured pin may be, nearest first: all within one half size.

    Pins of one batch scatter by about 0.001 in, and worn ones measure 0.0005 in under: a
    measurement leaves a half size open.
    Source: posts to a technicians' mailing list, 2003 and 2008.
    """

    def distance(size: PinSize) -> int:
        return abs(size.diameter_um - measured_um)

    near = [size for size in ladder() if distance(size) <= OF_SCHEME[size.scheme][1]]
    return sorted(near, key=distance)


def pin_for_worn(measured_um: int, scheme: Scheme, stocked_um: Mapping[int, int]) -> int:
    """Return the part whose diameter is nearest to one half size above the pin found.

    `stocked_um` gives diameters in micrometres by part. Going up one half size is common practice;
    it is matched on diameter, since inch and metric sizes share their numbers.

    Raises:
        ValueError: no pin is stocked.
    """
    target = measured_um + OF_SCHEME[scheme][1]
    return min(stocked_um, key=lambda part_id: (abs(stocked_um[part_id] - target), part_id))
