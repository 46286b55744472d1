"""Which check to make next, so that the cause is found in the fewest expected minutes.

What is made next may depend on the answers so far, so the exact solution is a dynamic programme
over them. For one cause and checks that never err it is the order of probability over minutes,
which set-ups bend by groups; `ratio_order` is that rule by itself.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import accumulate
from math import inf
from operator import mul, sub

from diagnostics.rules.possible_checks import (
    CLOSED,
    ROUNDING,
    Access,
    PossibleCheck,
    Search,
    deepest,
    information_bits,
)

# Work grows as 3 to the power of the checks: 7 take some 20 ms, 10 half a second.
SOLVED_EXACTLY = 7
GROUP = 5
# Two orders that differ by less than this are equal, and the check named first goes first.
EQUAL_MINUTES = 1e-9
NONE_LEFT = -1

Weights = tuple[float, ...]


def ratio_order(
    checks: Sequence[PossibleCheck], gains: Mapping[str, float], opened: Access = CLOSED
) -> list[PossibleCheck]:
    """Return the checks in the order that gains the most per minute soonest.

    `gains` has the worth of each check by its code. Access is gained level by level, as a chain of
    jobs that gain nothing by themselves: the next is always the first step of the group of levels
    and checks behind them that has the greatest sum of gains over sum of minutes. When the gains
    are the probabilities of exclusive causes, each shown by one check that never errs, no order
    finds the cause in fewer expected minutes.

    Source: without set-ups, probability over minutes: Bellman, "Dynamic Programming" (1957),
    chapter III; Smith, "Various Optimizers for Single-Stage Production", Naval Research Logistics
    Quarterly 3 (1956). With set-ups before them: Horn, "Single-Machine Job Sequencing with Treelike
    Precedence Ordering and Linear Delay Penalties", SIAM Journal on Applied Mathematics 23 (1972).
    """
    left, ordered = list(checks), []
    while left:
        behind = _best_level(left, gains, opened)
        if behind.depth > opened.depth:
            further = (each.access for each in left if each.access.depth > opened.depth)
            opened = min(further, key=lambda access: access.depth)
            continue
        open_now = (each for each in left if each.access.depth <= opened.depth)
        best = max(open_now, key=lambda check: _rate(gains[check.code], check.minutes))
        left.remove(best)
        ordered.append(best)
    return ordered


def _best_level(
    checks: Sequence[PossibleCheck], gains: Mapping[str, float], opened: Access
) -> Access:
    """Return the access behind which the best group of checks lies, the shallowest of equals."""
    levels = {check.access.depth: check.access for check in checks}
    reached = {max(opened, level, key=lambda access: access.depth) for level in levels.values()}
    return max(
        sorted(reached, key=lambda access: access.depth),
        key=lambda level: _best_rate(checks, gains, opened, level),
    )


def _best_rate(
    checks: Sequence[PossibleCheck], gains: Mapping[str, float], opened: Access, level: Access
) -> float:
    """Return the greatest gain per minute of any group of checks within `level`, access counted."""
    within = [check for check in checks if check.access.depth <= level.depth]
    within.sort(key=lambda check: -_rate(gains[check.code], check.minutes))
    gained = accumulate(gains[check.code] for check in within)
    taken = accumulate((check.minutes for check in within), initial=level.minutes_from(opened))
    next(taken)
    return max((_rate(gain, minutes) for gain, minutes in zip(gained, taken, strict=True)))


def _rate(gain: float, minutes: float) -> float:
    return gain / minutes if minutes > 0 else inf


class LeastMinutes:
    """The exact solution for some checks, by dynamic programming over their answers.

    A state is which checks were positive and which negative, as two sets of bits. Its value is the
    expected minutes still to come, times the probability of getting there. Whoever is undecided
    when these checks tell nothing more makes the `rest`.
    """

    def __init__(self, search: Search, rest: Sequence[PossibleCheck] = ()) -> None:
        self._search = search
        self._rest_minutes = sum(check.minutes for check in rest)
        self._rest_access = deepest(check.access for check in rest)
        self._shares = [tuple(map(check.share, search.belief)) for check in search.checks]
        self._opened = [
            deepest((search.opened, *(search.checks[index].access for index in _bits(asked))))
            for asked in range(1 << len(search.checks))
        ]
        everything = len(self._opened) - 1
        self._left = [_bits(everything & ~asked) for asked in range(len(self._opened))]
        self._best: dict[tuple[int, int], tuple[float, int]] = {}
        self.minutes = self._minutes(tuple(search.belief.values()), 0, 0)

    @property
    def check(self) -> PossibleCheck | None:
        """The check to make first; None when the cause is sure, or nothing is left to ask."""
        _, index = self._best.get((0, 0), (0.0, NONE_LEFT))
        return None if index == NONE_LEFT else self._search.checks[index]

    def _minutes(self, weights: Weights, positive: int, negative: int) -> float:
        total = sum(weights)
        if max(weights) >= (self._search.sure - ROUNDING) * total:
            return 0.0
        state = (positive, negative)
        if state not in self._best:
            self._best[state] = self._solved(weights, total, positive, negative)
        return self._best[state][0]

    def _solved(
        self, weights: Weights, total: float, positive: int, negative: int
    ) -> tuple[float, int]:
        opened = self._opened[positive | negative]
        best, first = inf, NONE_LEFT
        for index in self._telling(weights, positive | negative):
            check = self._search.checks[index]
            minutes = total * (check.minutes + check.access.minutes_from(opened))
            if minutes < best:
                minutes += self._minutes_after(weights, index, positive, negative)
            if minutes < best - EQUAL_MINUTES:
                best, first = minutes, index
        if first == NONE_LEFT:
            best = total * (self._rest_minutes + self._rest_access.minutes_from(opened))
        return best, first

    def _telling(self, weights: Weights, asked: int) -> list[int]:
        left = self._left[asked]
        if all(weights):  # no cause is ruled out, so that each tells what it told at first
            return left
        live = [place for place, weight in enumerate(weights) if weight]
        return [index for index in left if len({self._shares[index][place] for place in live}) > 1]

    def _minutes_after(self, weights: Weights, index: int, positive: int, negative: int) -> float:
        shares, bit = self._shares[index], 1 << index
        yes = tuple(map(mul, weights, shares))
        no = tuple(map(sub, weights, yes))
        minutes = self._minutes(yes, positive | bit, negative)
        return minutes + self._minutes(no, positive, negative | bit)


def _bits(number: int) -> list[int]:
    return [index for index in range(number.bit_length()) if number >> index & 1]


def solved(search: Search) -> LeastMinutes:
    """Return the solution: exact when there are few checks, else that of the most telling of them.

    The most telling are the first few by `ratio_order` of their information; they are put in exact
    order, and whoever is undecided behind them is charged with all the others. The minutes are then
    an upper bound, since a search made anew after each answer stops sooner.
    """
    if len(search.checks) <= SOLVED_EXACTLY:
        return LeastMinutes(search)
    bits = {check.code: information_bits(search.belief, check) for check in search.checks}
    ordered = ratio_order(search.checks, bits, search.opened)
    group = {check.code for check in ordered[:GROUP]}
    first = tuple(check for check in search.checks if check.code in group)
    return LeastMinutes(replace(search, checks=first), rest=ordered[GROUP:])
