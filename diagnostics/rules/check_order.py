"""The order of checks for one note's trouble, and how a search goes that follows an order."""

from collections.abc import Callable
from dataclasses import dataclass

from diagnostics.rules.least_minutes import SOLVED_EXACTLY, solved
from diagnostics.rules.possible_checks import (
    PossibleCheck,
    Search,
    chance_positive,
    information_bits,
)

Choice = Callable[[Search], PossibleCheck | None]


def best_check(search: Search) -> PossibleCheck | None:
    """Return the check to make next; None once the cause is sure or nothing is left to ask."""
    return solved(search).check


def first_check(search: Search) -> PossibleCheck | None:
    """Return the check that stands first, as a fixed order has it; None as for `best_check`."""
    return search.checks[0] if search.is_open else None


@dataclass(frozen=True)
class Answer:
    """What one answer to a check would mean.

    `next_check` is None when the search would end, and where it is too large to be solved exactly.
    """

    chance: float
    belief: dict[str, float]
    cause: str | None
    next_check: PossibleCheck | None


@dataclass(frozen=True)
class Step:
    """A check to make: its minutes, those of the access it needs first, and what it tells.

    `chance_needed` is how likely the search gets here.
    """

    check: PossibleCheck
    access_minutes: float
    chance_needed: float
    information_bits: float
    positive: Answer
    negative: Answer


@dataclass(frozen=True)
class Order:
    """The checks in order, each made while the cause is not sure.

    After each step the order goes on as if its answer had left the cause open, the likelier answer
    when both do. `expected_minutes` counts every way the answers can fall; unless `is_exact` it is
    an upper bound.
    """

    steps: tuple[Step, ...]
    expected_minutes: float
    is_exact: bool
    cause: str | None


def check_order(search: Search) -> Order:
    """Return the checks to make, the next one first, until nothing is left to ask."""
    solution = solved(search)
    is_exact = len(search.checks) <= SOLVED_EXACTLY
    steps, chance, here, check = [], 1.0, search, solution.check
    while check is not None:
        steps.append(_step(here, check, chance, looks_on=is_exact))
        answered, here = _going_on(here, check)
        chance *= answered
        check = best_check(here)
    return Order(tuple(steps), solution.minutes, is_exact, search.cause)


def _going_on(search: Search, check: PossibleCheck) -> tuple[float, Search]:
    """Return the chance and the search of the answer that leaves it open, the likelier of two."""
    positive = chance_positive(search.belief, check)
    ways = [
        (positive, search.after(check, positive=True)),
        (1 - positive, search.after(check, positive=False)),
    ]
    return max(ways, key=lambda way: (way[1].is_open, way[0]))


def _step(search: Search, check: PossibleCheck, chance: float, *, looks_on: bool) -> Step:
    positive, negative = (
        _answer(search, check, positive=sign, looks_on=looks_on) for sign in (True, False)
    )
    return Step(
        check=check,
        access_minutes=check.access.minutes_from(search.opened),
        chance_needed=chance,
        information_bits=information_bits(search.belief, check),
        positive=positive,
        negative=negative,
    )


def _answer(search: Search, check: PossibleCheck, *, positive: bool, looks_on: bool) -> Answer:
    chance = chance_positive(search.belief, check)
    after = search.after(check, positive=positive)
    return Answer(
        chance=chance if positive else 1 - chance,
        belief=after.belief,
        cause=after.cause,
        next_check=best_check(after) if looks_on else None,
    )


@dataclass(frozen=True)
class Followed:
    """How a search went: its minutes, the checks made in order, the cause found if any."""

    minutes: float
    made: tuple[str, ...]
    cause: str | None


def follow(search: Search, choose: Choice, answer: Callable[[PossibleCheck], bool]) -> Followed:
    """Return how the search goes when `choose` names each check and `answer` says what it shows.

    Compare `best_check` with `first_check`, which makes the checks in the order they were given.
    """
    minutes, made = 0.0, []
    while (check := choose(search)) is not None:
        minutes += search.minutes_of(check)
        made.append(check.code)
        search = search.after(check, positive=answer(check))
    return Followed(minutes, tuple(made), search.cause)
