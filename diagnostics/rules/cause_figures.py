"""What is known beforehand of the causes that an action can have: how often, and shown by what.

The figures are the catalogue's estimates, moved by the shop's own cases where it has any.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cached_property
from math import fsum

from diagnostics.rules.keyboard import Compass, is_natural, is_sharp
from diagnostics.rules.room import RoomState
from diagnostics.rules.spread import SpreadKind
from shop.rules.words import Words

# How many causes a note has on average, bad or good, of an instrument that the shop is called to;
# and how often a fault is found on one that has no cause known to bring it. Estimates.
CAUSES_PER_NOTE = 0.25
UNEXPLAINED_FAULT = 0.005
# From when an instrument is no longer new, and from when it is old, in years. Estimates.
NEW_UNTIL_YEARS, OLD_FROM_YEARS = 10, 50


class AgeClass(StrEnum):
    """How old an instrument is, as far as it matters to its causes."""

    NEW = "new"
    MIDDLE = "middle"
    OLD = "old"


def age_class(age_years: int) -> AgeClass:
    """Return whether an instrument of so many years is new, middling or old."""
    if age_years < NEW_UNTIL_YEARS:
        return AgeClass.NEW
    return AgeClass.OLD if age_years >= OLD_FROM_YEARS else AgeClass.MIDDLE


# What leans towards some causes and away from others before any check is made.
Leaning = SpreadKind | RoomState | AgeClass


@dataclass(frozen=True)
class CauseFigures:
    """One cause: its weight against the others, and in which share of its cases what is seen.

    `checks` and `faults` hold for a note that has this cause alone. `leanings` share its cases out
    over the kinds of spread, the states of the room and the ages of the instrument.
    """

    code: str
    name: str
    weight: float
    component: str = ""
    remedy: str = ""
    cured_by_room: bool = False
    found_on: str = "any"
    checks: Mapping[str, float] = field(default_factory=dict)
    faults: Mapping[str, float] = field(default_factory=dict)
    leanings: Mapping[Leaning, float] = field(default_factory=dict)
    complaint_words: tuple[str, ...] = ()

    def can_be_on(self, midi: int | None, compass: Compass) -> bool:
        """Return whether a note can have it; None, the whole instrument, can have any."""
        if midi is None:
            return True
        match self.found_on:
            case "naturals":
                return is_natural(midi)
            case "sharps":
                return is_sharp(midi)
            case "end-keys":
                return midi in {compass.lowest_midi, compass.highest_midi}
            case _:
                return True


@dataclass(frozen=True)
class CheckFigures:
    """One check: how often it is positive when none of its causes is there.

    `measures` are the quantities that it measures. One that `restates_room_and_spread` tells
    nothing more once these are known.
    """

    code: str
    name: str
    false_positive_share: float
    measures: tuple[str, ...] = ()
    restates_room_and_spread: bool = False


@dataclass(frozen=True)
class Figures:
    """The causes that an action can have, the checks that tell them apart, and names by code.

    The names of the causes, and what is told of them, are in `words`.
    """

    causes: tuple[CauseFigures, ...]
    checks: Mapping[str, CheckFigures]
    fault_names: Mapping[str, str] = field(default_factory=dict)
    component_names: Mapping[str, str] = field(default_factory=dict)
    words: Words = field(default_factory=dict)

    @cached_property
    def by_code(self) -> dict[str, CauseFigures]:
        """The causes by their codes."""
        return {cause.code: cause for cause in self.causes}

    @cached_property
    def total_weight(self) -> float:
        """The weights of all causes together."""
        return fsum(cause.weight for cause in self.causes)

    def prior(self, cause: CauseFigures) -> float:
        """Return how often a note has this cause, before anything is known of it."""
        return CAUSES_PER_NOTE * cause.weight / self.total_weight

    @cached_property
    def usual(self) -> dict[Leaning, float]:
        """The share of all cases that each leaning has, over the causes by their weights."""
        shares: dict[Leaning, list[float]] = {}
        for cause in self.causes:
            for leaning, share in cause.leanings.items():
                shares.setdefault(leaning, []).append(cause.weight * share)
        return {leaning: fsum(parts) / self.total_weight for leaning, parts in shares.items()}

    @cached_property
    def positive_shares(self) -> dict[tuple[str, str], float]:
        """How often a check is positive on a note with one cause alone, by check and cause."""
        return {
            (check, cause.code): share
            for cause in self.causes
            for check, share in cause.checks.items()
        }

    def shares_of_check(self, code: str) -> dict[str, float]:
        """Return how often a check is positive under each of its causes, by the cause's code."""
        return self._by_check.get(code, {})

    @cached_property
    def _by_check(self) -> dict[str, dict[str, float]]:
        shares: dict[str, dict[str, float]] = {}
        for (check, cause), share in self.positive_shares.items():
            shares.setdefault(check, {})[cause] = share
        return shares

    def shares_of_fault(self, code: str) -> dict[str, float]:
        """Return how often a fault shows under each of its causes, by the cause's code."""
        return self._by_fault.get(code, {})

    @cached_property
    def _by_fault(self) -> dict[str, dict[str, float]]:
        shares: dict[str, dict[str, float]] = {}
        for cause in self.causes:
            for fault, share in cause.faults.items():
                shares.setdefault(fault, {})[cause.code] = share
        return shares
