"""Synthetic instruments whose causes are known, to try the diagnosis on.

Nothing here is about any real piano: the instruments are drawn from the figures themselves, or from
figures that differ from them, as a shop's pianos will.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import exp, fsum, log
from random import Random
from typing import TypeVar

from diagnostics.rules.cause_figures import (
    UNEXPLAINED_FAULT,
    AgeClass,
    CauseFigures,
    Figures,
    Leaning,
)
from diagnostics.rules.causes import Evidence, sign
from diagnostics.rules.room import RoomState
from diagnostics.rules.signs import SAYS_NOTHING, InstrumentSeen, NoteSeen, Reader
from diagnostics.rules.spread import SpreadKind

# Years that stand for each age in a trial, and how many bad notes an instrument may have.
YEARS = {AgeClass.NEW: 5, AgeClass.MIDDLE: 30, AgeClass.OLD: 80}
MOST_BAD_NOTES = 4
SPREADS = tuple(kind for kind in SpreadKind if kind not in SAYS_NOTHING)
ROOMS = tuple(state for state in RoomState if state not in SAYS_NOTHING)
AGES = tuple(AgeClass)
FAMILIES: tuple[tuple[Leaning, ...], ...] = (SPREADS, ROOMS, AGES)
Kind = TypeVar("Kind", SpreadKind, RoomState, AgeClass)


@dataclass(frozen=True)
class Drawn:
    """An instrument as it was seen, and what is really behind each of its bad notes."""

    seen: InstrumentSeen
    causes: tuple[frozenset[str], ...]


class Nature:
    """Draws instruments, and answers checks, by figures that the diagnosis may not know."""

    def __init__(self, figures: Figures, random: Random) -> None:
        self._figures = figures
        self._random = random

    def instrument(self) -> Drawn:
        """Return an instrument with one to four bad notes."""
        spread, room = self._leaning(SPREADS), self._leaning(ROOMS)
        age = self._leaning(AGES)
        about = InstrumentSeen(notes=(), room=room, age_years=YEARS[age])
        count = self._random.randint(1, MOST_BAD_NOTES)
        midis = self._random.sample(about.compass.notes, count)
        drawn = [self._note(NoteSeen(midi, (), spread=spread), about) for midi in midis]
        seen = replace(about, notes=tuple(note for note, _ in drawn))
        return Drawn(seen, tuple(causes for _, causes in drawn))

    def _leaning(self, family: Sequence[Kind]) -> Kind:
        """Return a kind of spread, state of the room or age, as often as usual."""
        usual = self._figures.usual
        return self._random.choices(family, [usual.get(each, 0.0) for each in family])[0]

    def _note(self, note: NoteSeen, about: InstrumentSeen) -> tuple[NoteSeen, frozenset[str]]:
        """Return a note with a cause and a fault, drawn until there is one of each."""
        evidence = Reader(self._figures, replace(about, notes=(note,))).evidence(note)
        while True:
            causes = frozenset(self._causes(evidence))
            if causes and (faults := tuple(self._faults(causes))):
                return replace(note, faults=faults), causes

    def _causes(self, evidence: Evidence) -> Iterator[str]:
        for code in evidence.priors:
            odds = evidence.odds(code)
            if self._random.random() < odds / (1 + odds):
                yield code

    def _faults(self, causes: frozenset[str]) -> Iterator[str]:
        faults = {fault for cause in self._figures.causes for fault in cause.faults}
        for fault in sorted(faults):
            shares = self._figures.shares_of_fault(fault)
            if self._is_seen(UNEXPLAINED_FAULT, shares, causes):
                yield fault

    def answer(self, check: str, causes: frozenset[str]) -> bool:
        """Return whether a check made on a note with these causes is positive."""
        leak = self._figures.checks[check].false_positive_share
        return self._is_seen(leak, self._figures.shares_of_check(check), causes)

    def _is_seen(self, leak: float, shares: Mapping[str, float], causes: frozenset[str]) -> bool:
        failing = sign("", leak, shares).failing
        unseen = 1 - leak
        for cause in causes:
            unseen *= failing.get(cause, 1.0)
        return self._random.random() >= unseen


def perturbed(figures: Figures, random: Random, by: float) -> Figures:
    """Return figures whose every share is off by a normal error of the log odds.

    `by` is its standard deviation, in natural units; that of the weights' logarithms too.
    """

    def off(share: float) -> float:
        odds = share / (1 - share) * exp(random.gauss(0, by))
        return odds / (1 + odds)

    return replace(
        figures,
        causes=tuple(
            replace(
                cause,
                weight=exp(log(cause.weight) + random.gauss(0, by)),
                checks={code: off(share) for code, share in cause.checks.items()},
                faults={code: off(share) for code, share in cause.faults.items()},
                leanings=_leanings_off(cause, random, by),
            )
            for cause in figures.causes
        ),
        checks={
            code: replace(check, false_positive_share=off(check.false_positive_share))
            for code, check in figures.checks.items()
        },
    )


def _leanings_off(cause: CauseFigures, random: Random, by: float) -> dict[Leaning, float]:
    found: dict[Leaning, float] = {}
    for family in FAMILIES:
        weights = {
            each: cause.leanings[each] * exp(random.gauss(0, by))
            for each in family
            if each in cause.leanings
        }
        total = fsum(weights.values())
        found |= {each: weight / total for each, weight in weights.items()}
    return found
