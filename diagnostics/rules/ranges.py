"""Whether a measured value lies in the range where it should."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum

from diagnostics.rules.sections import Section

WHOLE = "whole"


class Standing(StrEnum):
    """How a value lies to a range."""

    LOW = "low"
    WITHIN = "within"
    HIGH = "high"


@dataclass(frozen=True)
class Range:
    """A range of a quantity on a section of the keyboard, or the whole; a missing end is open.

    Outside a range that `judges` a value is called low or high; others are there to compare with.
    """

    code: str
    name: str
    quantity: str
    low: Decimal | None = None
    high: Decimal | None = None
    section: str = WHOLE
    judges: bool = False
    provenance: str = ""
    source: str = ""

    def times(self, factor: Decimal) -> "Range":
        """Return the range in another measure, `factor` of which make one of the present."""
        low, high = self.low, self.high
        return replace(
            self,
            low=None if low is None else low * factor,
            high=None if high is None else high * factor,
        )

    def standing(self, value: Decimal) -> Standing:
        """Return how `value` lies to the range; its ends belong to it."""
        if self.low is not None and value < self.low:
            return Standing.LOW
        if self.high is not None and value > self.high:
            return Standing.HIGH
        return Standing.WITHIN


def judging_range(ranges: Iterable[Range], quantity: str, section: Section | None) -> Range | None:
    """Return the range that judges a quantity there: the section's own before the whole's.

    What is on no note has no section.
    """
    judging = [
        each
        for each in ranges
        if each.judges and each.quantity == quantity and each.section in (section, WHOLE)
    ]
    return min(judging, key=lambda each: each.section == WHOLE, default=None)
