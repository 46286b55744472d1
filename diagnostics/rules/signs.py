"""From what was found, measured and asked to signs that speak for and against causes."""

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import prod

from diagnostics.rules.cause_figures import (
    UNEXPLAINED_FAULT,
    AgeClass,
    CauseFigures,
    Figures,
    Leaning,
    age_class,
)
from diagnostics.rules.causes import Evidence, Lean, Sign, sign
from diagnostics.rules.keyboard import Compass
from diagnostics.rules.measured_signs import Measured, measured_signs
from diagnostics.rules.room import RoomState
from diagnostics.rules.sections import members
from diagnostics.rules.spread import Spread, SpreadKind

# How often a finding names the component, or the cause, when it is the one; and when it is not.
# How often a client speaks of a cause in its own words; and does so by chance. Estimates.
COMPONENT_NAMED, COMPONENT_MISTAKEN = 0.70, 0.08
CAUSE_NAMED, CAUSE_MISTAKEN = 0.90, 0.03
COMPLAINT_SPOKEN, COMPLAINT_CHANCE = 0.35, 0.10

SAYS_NOTHING = frozenset({SpreadKind.TOO_FEW, SpreadKind.NONE, RoomState.UNKNOWN})
WORDS: Mapping[Leaning, str] = {
    SpreadKind.ISOLATED: "It stands by itself",
    SpreadKind.CLUSTER: "It stands in a cluster",
    SpreadKind.NATURALS: "Naturals above all are affected",
    SpreadKind.SHARPS: "Sharps above all are affected",
    SpreadKind.SECTION: "One section above all is affected",
    SpreadKind.EVERYWHERE: "Notes everywhere are affected",
    RoomState.DRY: "The room is dry",
    RoomState.IN_RANGE: "The room is in range",
    RoomState.DAMP: "The room is damp",
    RoomState.SWUNG: "The room has swung",
    AgeClass.NEW: "The instrument is new",
    AgeClass.MIDDLE: "The instrument is of middling age",
    AgeClass.OLD: "The instrument is old",
}


@dataclass(frozen=True)
class NoteSeen:
    """What was seen of a note: faults, components and causes named, checks, measured values.

    `midi` is None for the whole instrument. `results` say by a check's code whether it was
    positive; unclear ones are left out. `spread` is what its kind of fault does around this note.
    """

    midi: int | None
    faults: tuple[str, ...]
    components: tuple[str, ...] = ()
    causes: tuple[str, ...] = ()
    results: Mapping[str, bool] = field(default_factory=dict)
    measured: tuple[Measured, ...] = ()
    spread: SpreadKind = SpreadKind.TOO_FEW


@dataclass(frozen=True)
class InstrumentSeen:
    """What was seen of an instrument: its bad notes, and what concerns them all."""

    notes: tuple[NoteSeen, ...]
    compass: Compass = field(default_factory=Compass)
    results: Mapping[str, bool] = field(default_factory=dict)
    room: RoomState = RoomState.UNKNOWN
    age_years: int | None = None
    complaint: str = ""


class Reader:
    """Reads what was seen of one instrument as evidence for each of its notes."""

    def __init__(self, figures: Figures, seen: InstrumentSeen) -> None:
        self._figures = figures
        self._seen = seen
        self._all = [lean_of(figures, each) for each in _leanings(seen)]
        self._leans = {kind: lean_of(figures, kind) for kind in SpreadKind}
        self._whole = {
            code: self._check_sign(code, is_positive=positive, others=len(seen.notes) - 1)
            for code, positive in seen.results.items()
        }
        self._complaint = complaint_signs(figures, seen.complaint)

    def evidence(self, note: NoteSeen) -> Evidence:
        """Return what speaks for and against the causes of a note."""
        possible = self.possible(note.midi)
        leans = [*self._all, self._leans[note.spread]]
        return Evidence(
            priors={cause.code: self._figures.prior(cause) for cause in possible},
            leans=tuple(lean for lean in leans if lean.factors),
            signs=tuple(self._signs(note)),
        )

    def possible(self, midi: int | None) -> list[CauseFigures]:
        """Return the causes that this note can have."""
        return [
            cause for cause in self._figures.causes if cause.can_be_on(midi, self._seen.compass)
        ]

    def _signs(self, note: NoteSeen) -> Iterator[Sign]:
        for fault in note.faults:
            said = f"{self._figures.fault_names.get(fault, fault)} was found"
            yield sign(said, UNEXPLAINED_FAULT, self._figures.shares_of_fault(fault))
        for component in note.components:
            causes = [each.code for each in self._figures.causes if each.component == component]
            name = self._figures.component_names.get(component, component)
            yield sign(
                f"The finding points at: {name}",
                COMPONENT_MISTAKEN,
                dict.fromkeys(causes, COMPONENT_NAMED),
            )
        for cause in note.causes:
            yield sign("The finding names it", CAUSE_MISTAKEN, {cause: CAUSE_NAMED})
        measured = measured_signs(self._figures, note.measured)
        yield from measured.signs
        for code in sorted(note.results.keys() - measured.checks):
            yield self._check_sign(code, is_positive=note.results[code])
        for code in sorted(self._whole.keys() - note.results.keys() - measured.checks):
            if not self._restated(code, note):
                yield self._whole[code]
        yield from self._complaint

    def _restated(self, code: str, note: NoteSeen) -> bool:
        """Return whether a check only says again what room and spread say already."""
        is_known = not SAYS_NOTHING & {self._seen.room, note.spread}
        return is_known and self._figures.checks[code].restates_room_and_spread

    def _check_sign(self, code: str, *, is_positive: bool, others: int = 0) -> Sign:
        check = self._figures.checks[code]
        word = "positive" if is_positive else "negative"
        seen = sign(
            f"{check.name}: {word}",
            check.false_positive_share,
            self._figures.shares_of_check(code),
            is_seen=is_positive,
        )
        return shared(seen, self._figures, others) if is_positive and others else seen


def shared(seen: Sign, figures: Figures, others: int) -> Sign:
    """Return what a sign of the whole instrument says about one of its bad notes.

    Any of the `others` may be what showed it: each has its causes by their priors.
    """
    quiet = prod(
        1 - figures.prior(cause) * (1 - seen.failing.get(cause.code, 1.0))
        for cause in figures.causes
    )
    said = f"{seen.said} (on the whole instrument, where {others + 1} notes are bad)"
    return replace(seen, said=said, leak=1 - (1 - seen.leak) * quiet**others)


def lean_of(figures: Figures, leaning: Leaning) -> Lean:
    """Return how spread, room or age moves the odds of each cause: its share over the usual one."""
    usual = figures.usual.get(leaning, 0.0)
    if leaning in SAYS_NOTHING or not usual:
        return Lean("", {})
    shares = {
        cause.code: cause.leanings[leaning] for cause in figures.causes if leaning in cause.leanings
    }
    factors = {code: share / usual for code, share in shares.items()}
    return Lean(WORDS[leaning], factors, shares, usual)


def _leanings(seen: InstrumentSeen) -> Sequence[Leaning]:
    if seen.age_years is None:
        return [seen.room]
    return [seen.room, age_class(seen.age_years)]


def spread_at(found: Spread, midi: int) -> SpreadKind:
    """Return what a spread is around one affected note: outside of what it names, isolated."""
    match found.kind:
        case SpreadKind.CLUSTER:
            is_inside = midi in found.cluster_notes
        case SpreadKind.NATURALS | SpreadKind.SHARPS | SpreadKind.SECTION if found.section:
            is_inside = midi in members(found.section, (midi,), found.breaks)
        case _:
            is_inside = True
    return found.kind if is_inside else SpreadKind.ISOLATED


def complaint_signs(figures: Figures, complaint: str) -> list[Sign]:
    """Return what a complaint says: one sign for all its words that mean the same causes."""
    spoken = re.findall(r"[^\W\d_]+", complaint.lower())
    meant: dict[frozenset[str], list[str]] = {}
    beginnings = sorted({word for cause in figures.causes for word in cause.complaint_words})
    for beginning in beginnings:
        if any(word.startswith(beginning) for word in spoken):
            causes = _causes_saying(figures.causes, beginning)
            meant.setdefault(causes, []).append(beginning)
    return [
        sign(
            f"The complaint speaks of it ({', '.join(words)})",
            COMPLAINT_CHANCE,
            dict.fromkeys(causes, COMPLAINT_SPOKEN),
        )
        for causes, words in meant.items()
    ]


def _causes_saying(causes: Collection[CauseFigures], beginning: str) -> frozenset[str]:
    return frozenset(cause.code for cause in causes if beginning in cause.complaint_words)
