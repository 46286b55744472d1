"""Checks in the order in which to make them, with all that an answer says of each."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from diagnostics.rules.check_order import Answer
from diagnostics.rules.check_round import Asked, RoundStep
from diagnostics.rules.check_words import leading_causes, meaning, reason
from shop.rules.words import ENGLISH, Words

CAUSES_SHOWN = 3


@dataclass(frozen=True)
class CheckText:
    """What the catalogue says of a check: how it is made, and how to read it."""

    code: str
    name: str
    instruction: str
    reads_as: str
    set_up_name: str = ""


@dataclass(frozen=True)
class LikelyCause:
    """A cause and its probability."""

    code: str
    name: str
    probability: float


@dataclass(frozen=True)
class PlannedAnswer:
    """What an answer would mean. `decided` is the code of the cause that would be sure then.

    `next_check` is the code of the check to make then, where the order was solved exactly.
    """

    chance: float
    causes: tuple[LikelyCause, ...]
    decided: str | None
    next_check: str | None
    meaning: str


@dataclass(frozen=True)
class PlannedNotes:
    """What a check is to tell about notes that are alike; no notes are the whole instrument."""

    notes: tuple[int, ...]
    chance_needed: float
    information_bits: float
    positive: PlannedAnswer
    negative: PlannedAnswer


@dataclass(frozen=True)
class PlannedCheck:
    """A check to make: on which notes, how long it takes, why now, and what it would tell.

    `minutes` are those of all notes together, without those of the set-up before it.
    """

    text: CheckText
    notes: tuple[int, ...]
    per_note: bool
    minutes: float
    set_up: str
    set_up_minutes: float
    chance_needed: float
    reason: str
    tells: tuple[PlannedNotes, ...]


def likely_causes(
    belief: Mapping[str, float], names: Mapping[str, str], count: int = CAUSES_SHOWN
) -> tuple[LikelyCause, ...]:
    """Return the most probable causes with their names, the greatest first."""
    leading = leading_causes(belief, count)
    return tuple(LikelyCause(code, names[code], share) for code, share in leading)


def planned_checks(
    steps: Sequence[RoundStep],
    texts: Mapping[str, CheckText],
    names: Mapping[str, str],
    words: Words = ENGLISH,
) -> tuple[PlannedCheck, ...]:
    """Return the steps with the catalogue's texts; `names` are those of the causes, by code."""
    return tuple(
        PlannedCheck(
            text=texts[step.check.code],
            notes=step.notes,
            per_note=step.check.per_note,
            minutes=step.minutes,
            set_up=step.check.access.code,
            set_up_minutes=step.access_minutes,
            chance_needed=step.chance_needed,
            reason=reason(step, words),
            tells=tuple(_notes(asked, names) for asked in step.asked),
        )
        for step in steps
    )


def _notes(asked: Asked, names: Mapping[str, str]) -> PlannedNotes:
    return PlannedNotes(
        notes=asked.trouble.notes,
        chance_needed=asked.chance_needed,
        information_bits=asked.information_bits,
        positive=_answer(asked.positive, names),
        negative=_answer(asked.negative, names),
    )


def _answer(answer: Answer, names: Mapping[str, str]) -> PlannedAnswer:
    return PlannedAnswer(
        chance=answer.chance,
        causes=likely_causes(answer.belief, names),
        decided=answer.cause,
        next_check=answer.next_check.code if answer.next_check else None,
        meaning=meaning(answer, names),
    )
