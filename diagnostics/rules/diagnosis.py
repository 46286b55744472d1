"""The diagnosis of an instrument: what is behind each bad note and behind them all, with reasons.

Every figure goes back to what was seen: a cause's reasons add up, in decibans, to its log odds.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import fsum

from diagnostics.rules.cause_figures import CauseFigures, Figures
from diagnostics.rules.causes import (
    FORMULAS,
    Evidence,
    Posterior,
    decibans,
    log_odds_decibans,
    posterior,
)
from diagnostics.rules.formulas import Formula
from diagnostics.rules.keyboard import is_natural
from diagnostics.rules.note_names import notes_said, notes_text
from diagnostics.rules.room import RoomState
from diagnostics.rules.signs import InstrumentSeen, NoteSeen, Reader, lean_of
from diagnostics.rules.spread import SpreadKind
from shop.rules.words import ENGLISH, Words, decimal, said

# Causes less likely than this are not spelled out, nor more than so many of a note: enough to read.
WORTH_NAMING, MOST_NAMED = 0.05, 4
ROUNDING_DECIBANS = 1e-6
# A cause is called likely from here, and possible below. Estimates.
LIKELY = 0.5
# A room that is out of range is treated first when so many notes, or the spread, show that it is
# no matter of single notes, and it can cure most of them. Estimates.
WIDESPREAD_NOTES = 8
WIDE = frozenset({SpreadKind.EVERYWHERE, SpreadKind.SECTION})
OUT_OF_RANGE = frozenset({RoomState.DAMP, RoomState.DRY, RoomState.SWUNG})


@dataclass(frozen=True)
class Reason:
    """What speaks for a cause (positive decibans) or against it (negative)."""

    said: str
    decibans: float


@dataclass(frozen=True)
class CauseBelief:
    """How likely a cause is, and why."""

    cause: CauseFigures
    probability: float
    reasons: tuple[Reason, ...]


@dataclass(frozen=True)
class NoteDiagnosis:
    """What is behind bad notes of which the same was seen: their MIDI numbers, None for the whole.

    `causes` are the likely ones, likeliest first; `likeliest` is the likeliest set of them.
    `unknown` is the probability that no cause of the catalogue explains what was seen,
    `cured_by_room` that all that does could be cured by the room as it is now.
    """

    notes: tuple[int | None, ...]
    probabilities: Mapping[str, float]
    unknown: float
    cured_by_room: float
    likeliest: tuple[str, ...]
    likeliest_probability: float
    causes: tuple[CauseBelief, ...]
    verdict: str


@dataclass(frozen=True)
class CauseOverall:
    """A cause over all bad notes: how many of them it is expected on, and the likely ones."""

    cause: CauseFigures
    expected_notes: float
    notes: tuple[int | None, ...]


@dataclass(frozen=True)
class Diagnosis:
    """What is behind the bad notes of an instrument."""

    notes: tuple[NoteDiagnosis, ...]
    causes: tuple[CauseOverall, ...]
    cured_by_room: float
    treats_room_first: bool
    verdict: str
    formulas: tuple[Formula, ...] = FORMULAS


def diagnosis(figures: Figures, seen: InstrumentSeen) -> Diagnosis:
    """Return what is behind the bad notes that were seen."""
    reader = Reader(figures, seen)
    curable = curable_by_room(figures, seen.room)
    notes = tuple(_note_diagnosis(figures, reader, alike, curable) for alike in _alike(seen))
    count = len(seen.notes)
    causes = tuple(_overall(figures, notes))
    cured = fsum(each.cured_by_room * len(each.notes) for each in notes) / count if count else 0.0
    treats_room_first = (
        seen.room in OUT_OF_RANGE
        and cured >= LIKELY
        and (count >= WIDESPREAD_NOTES or any(note.spread in WIDE for note in seen.notes))
    )
    return Diagnosis(
        notes=notes,
        causes=causes,
        cured_by_room=cured,
        treats_room_first=treats_room_first,
        verdict=_verdict_of_all(seen, causes, cured if treats_room_first else None, figures.words),
    )


def curable_by_room(figures: Figures, room: RoomState) -> frozenset[str]:
    """Return the causes that treating the room can cure, in the state it is in."""
    lean = lean_of(figures, room)
    return frozenset(
        cause.code
        for cause in figures.causes
        if cause.cured_by_room and lean.factors.get(cause.code, 0.0) >= 1
    )


def _alike(seen: InstrumentSeen) -> list[list[NoteSeen]]:
    """Group the notes of which the same was seen and which can have the same causes."""
    ends = {seen.compass.lowest_midi, seen.compass.highest_midi}
    groups: dict[object, list[NoteSeen]] = {}
    for note in seen.notes:
        key = (
            None if note.midi is None else is_natural(note.midi),
            note.midi in ends,
            *(note.faults, note.components, note.causes, note.measured, note.spread),
            tuple(sorted(note.results.items())),
        )
        groups.setdefault(key, []).append(note)
    return list(groups.values())


def _note_diagnosis(
    figures: Figures, reader: Reader, alike: Sequence[NoteSeen], curable: frozenset[str]
) -> NoteDiagnosis:
    evidence = reader.evidence(alike[0])
    believed = posterior(evidence, curable)
    named = sorted(believed.probabilities.items(), key=lambda each: (-each[1], each[0]))
    causes = tuple(
        CauseBelief(figures.by_code[code], probability, tuple(reasons(evidence, code, probability)))
        for code, probability in named[:MOST_NAMED]
        if probability >= WORTH_NAMING
    )
    return NoteDiagnosis(
        notes=tuple(note.midi for note in alike),
        probabilities=believed.probabilities,
        unknown=believed.unknown,
        cured_by_room=believed.within,
        likeliest=believed.likeliest,
        likeliest_probability=believed.likeliest_probability,
        causes=causes,
        verdict=_verdict_of_note(figures, believed, causes),
    )


def reasons(evidence: Evidence, cause: str, probability: float) -> Iterator[Reason]:
    """Yield what speaks for and against a cause, the prior first; together they are its log odds.

    Each reason is weighed as if no other cause were there. What other causes explain makes the
    difference to what they come to together: that is the last reason.
    """
    prior = evidence.priors[cause]
    weighed = [
        Reason(f"On {_percent(prior)} of notes, whatever they do", decibans(prior / (1 - prior)))
    ]
    weighed += [
        Reason(
            f"{lean.said}: {_percent(lean.shares[cause])} of its cases,"
            f" {_percent(lean.usual)} of all",
            decibans(lean.factors[cause]),
        )
        for lean in evidence.leans
        if cause in lean.factors
    ]
    weighed += [
        Reason(
            f"{sign.said}: so in {_percent(sign.chance(cause))} of its cases,"
            f" in {_percent(sign.chance())} without it",
            decibans(sign.factor(cause)),
        )
        for sign in evidence.signs
        if cause in sign.failing
    ]
    yield from (reason for reason in weighed if reason.decibans)
    rest = log_odds_decibans(probability) - fsum(reason.decibans for reason in weighed)
    if abs(rest) > ROUNDING_DECIBANS:
        said = "Other causes explain the same" if rest < 0 else "Other causes explain too little"
        yield Reason(said, rest)


def _overall(figures: Figures, notes: Sequence[NoteDiagnosis]) -> Iterator[CauseOverall]:
    """Yield the causes that are named of a note, the one behind most notes first."""
    named: dict[str, list[int | None]] = {}
    for group in notes:
        for belief in group.causes:
            named.setdefault(belief.cause.code, []).extend(group.notes)
    expected = {
        code: fsum(group.probabilities.get(code, 0.0) * len(group.notes) for group in notes)
        for code in named
    }
    for code in sorted(named, key=lambda code: (-expected[code], code)):
        yield CauseOverall(figures.by_code[code], expected[code], tuple(named[code]))


def _verdict_of_note(figures: Figures, believed: Posterior, causes: Sequence[CauseBelief]) -> str:
    if believed.unknown >= LIKELY or not causes:
        return f"Nothing in the catalogue explains this well ({_percent(believed.unknown)} unknown)"
    first = causes[0]
    hedge = "Likely" if first.probability >= LIKELY else "Perhaps"
    said = f"{hedge} {_named(first)}"
    if len(believed.likeliest) > 1:
        both = " and ".join(figures.by_code[code].name for code in believed.likeliest)
        return f"Likelier two causes than one: {both}; each by itself: {said}"
    others = ", ".join(_named(each) for each in causes[1:])
    return f"{said}; else {others}" if others else said


def _named(belief: CauseBelief) -> str:
    return f"{belief.cause.name} ({_percent(belief.probability)})"


def _verdict_of_all(
    seen: InstrumentSeen, causes: Sequence[CauseOverall], cured: float | None, words: Words
) -> str:
    count = len(seen.notes)
    if not count:
        return said(words, "No fault is recorded, so there is nothing to explain")
    look = said(words, "; then ").join(_look_for(each, seen, count, words) for each in causes[:2])
    if cured is not None:
        told = (
            "Treat the room first: what is behind {share} of {notes} is of a kind that it can cure."
            " Likeliest {look}"
        )
        share, notes = _percent(cured, words), _notes(count, words)
        return said(words, told, share=share, notes=notes, look=look)
    if not look:
        return said(words, "Nothing in the catalogue explains this well")
    return said(words, "Look first for {look}", look=look)


def _look_for(overall: CauseOverall, seen: InstrumentSeen, count: int, words: Words) -> str:
    if count == 1:
        return f"{overall.cause.name} ({_percent(overall.expected_notes, words)})"
    expected = decimal(words, overall.expected_notes, 1)
    about = said(words, "about {expected} of {count} notes", expected=expected, count=count)
    notes = [midi for midi in overall.notes if midi is not None]
    if notes and len(notes) < count:
        named = notes_said(words, notes_text(notes, seen.compass))
        about += said(words, " at {notes}", notes=named)
    return f"{overall.cause.name} ({about})"


def _notes(count: int, words: Words) -> str:
    if count == 1:
        return said(words, "1 bad note")
    return said(words, "{count} bad notes", count=count)


def _percent(share: float, words: Words = ENGLISH) -> str:
    places = 0 if 0.01 <= share <= 0.99 else 1
    return f"{decimal(words, 100 * share, places)} %"
