"""The order of checks over all the notes in trouble, as one visit makes them.

Access is shared, and so is a check of the whole instrument. Which check comes next, on which notes,
is chosen by how much it is expected to tell per expected minute, both summed over the notes, with
access gained in groups: the rule of `ratio_order`, with information in bits as the gain. For one
note the order is that of `check_order`, which is exact where the checks are few.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import fsum, prod

from diagnostics.rules.check_order import Answer, check_order
from diagnostics.rules.formulas import Formula
from diagnostics.rules.least_minutes import ratio_order
from diagnostics.rules.possible_checks import (
    CLOSED,
    Access,
    PossibleCheck,
    Search,
    believed_after,
    cause_decided,
    chance_positive,
    deepest,
    information_bits,
)

EXACT = Formula(
    "least expected minutes: dynamic programming over the answers; for one cause and checks that "
    "never err, probability over minutes with set-ups grouped",
    "Bellman, Dynamic Programming (1957); Smith, Naval Res. Logist. Quart. 3 (1956), 59; Horn, "
    "SIAM J. Appl. Math. 23 (1972), 189",
)
TELLING = Formula(
    "most expected information per minute, set-ups grouped",
    "information: Lindley, Ann. Math. Statist. 27 (1956), 986; grouping: Horn, SIAM J. Appl. Math. "
    "23 (1972), 189",
)
# A step that would be needed more seldom is left to the next asking.
SELDOM = 0.05
# Nor is a check worth listing on notes where it tells less than this.
LEAST_BITS = 0.01
# A check is made together on the notes where it tells at least this share of the most it tells.
TELLS_ENOUGH = 0.25
# Of the ways in which the answers so far can leave a note undecided, the likeliest are followed.
WAYS_FOLLOWED = 6


@dataclass(frozen=True)
class Trouble:
    """Notes of which the same is believed, and the search for the cause on each.

    Without notes it is the instrument as a whole.
    """

    notes: tuple[int, ...]
    search: Search

    @property
    def count(self) -> int:
        """How many times a check is made on it: once a note."""
        return max(1, len(self.notes))


@dataclass(frozen=True)
class Asked:
    """What a check is to tell about a trouble, on each of its notes.

    `chance_needed` is how likely the cause is not sure before it.
    """

    trouble: Trouble
    chance_needed: float
    information_bits: float
    positive: Answer
    negative: Answer


@dataclass(frozen=True)
class RoundStep:
    """A check to make on some notes: minutes of it on all of them, and of the access before it."""

    check: PossibleCheck
    minutes: float
    access_minutes: float
    asked: tuple[Asked, ...]

    @property
    def notes(self) -> tuple[int, ...]:
        """The notes that it tells about, lowest first."""
        return tuple(sorted(note for each in self.asked for note in each.trouble.notes))

    @property
    def chance_needed(self) -> float:
        """How likely it is needed on at least one note, each taken by itself."""
        return _chance_of_any((each.chance_needed, each.trouble.count) for each in self.asked)


@dataclass(frozen=True)
class Round:
    """The checks in order; `expected_minutes` counts each by how likely it is needed."""

    steps: tuple[RoundStep, ...]
    expected_minutes: float
    is_exact: bool
    formulas: tuple[Formula, ...]


class _Pending:
    """A trouble in the course of a round: the ways in which it can still be undecided.

    `bits` is what each check is expected to tell about one of the notes, by the check's code.
    """

    def __init__(self, trouble: Trouble, ways: list[tuple[float, Search]]) -> None:
        self.trouble = trouble
        self.count = trouble.count
        self.ways = ways
        self.chance = fsum(chance for chance, _ in ways)
        self.bits: dict[str, float] = defaultdict(float)
        for chance, search in ways:
            for check in search.checks:
                self.bits[check.code] += chance * information_bits(search.belief, check)

    def asked(self, check: PossibleCheck) -> Asked:
        """Return what `check` is to tell, over all the ways."""
        search = self.trouble.search
        own, belief = search.own(check) or check, _mixture(self.ways)
        return Asked(
            trouble=self.trouble,
            chance_needed=self.chance,
            information_bits=self.bits[check.code] / self.chance,
            positive=_answer(belief, own, search.sure, positive=True),
            negative=_answer(belief, own, search.sure, positive=False),
        )

    def after(self, check: PossibleCheck) -> "_Pending":
        """Return the trouble once `check` is answered, whatever it shows."""
        ways = [way for chance, search in self.ways for way in _ways_on(chance, search, check)]
        kept = sorted(ways, key=lambda way: -way[0])[:WAYS_FOLLOWED]
        scale = fsum(chance for chance, _ in ways) / (fsum(chance for chance, _ in kept) or 1.0)
        return _Pending(self.trouble, [(chance * scale, search) for chance, search in kept])


@dataclass(frozen=True)
class _Job:
    """A check on the notes where it tells enough; its minutes are expected ones."""

    check: PossibleCheck
    targets: list[_Pending]
    bits: float
    minutes: float


def round_of_checks(troubles: Sequence[Trouble], opened: Access = CLOSED) -> Round:
    """Return the checks to make on the notes in trouble, in order, until each cause is sure.

    A check has one code in all searches, but it may tell one of them more than another.
    `opened` is the access gained already. The searches' checks stand in the order in which equals
    are made.
    """
    if len(troubles) == 1 and len(troubles[0].notes) <= 1:
        return _round_of_one(troubles[0], opened)
    pending = [_Pending(each, [(1.0, each.search)]) for each in troubles if not each.search.cause]
    steps, expected = [], 0.0
    while jobs := _jobs(pending):
        job = _first(jobs, opened)
        steps.append(_step(job, opened))
        expected += job.minutes + job.check.access.minutes_from(opened) * steps[-1].chance_needed
        opened = deepest((opened, job.check.access))
        pending = [
            each.after(job.check) if any(each is target for target in job.targets) else each
            for each in pending
        ]
    return Round(tuple(steps), expected, is_exact=not steps, formulas=(TELLING,))


def _round_of_one(trouble: Trouble, opened: Access) -> Round:
    order = check_order(replace(trouble.search, opened=opened))
    steps = [
        RoundStep(
            check=step.check,
            minutes=step.check.minutes,
            access_minutes=step.access_minutes,
            asked=(
                Asked(
                    trouble,
                    step.chance_needed,
                    step.information_bits,
                    step.positive,
                    step.negative,
                ),
            ),
        )
        for step in order.steps
        if step.chance_needed >= SELDOM
    ]
    formulas = (EXACT,) if order.is_exact else (TELLING, EXACT)
    return Round(tuple(steps), order.expected_minutes, order.is_exact, formulas)


def _jobs(pending: Iterable[_Pending]) -> dict[str, _Job]:
    """Return what can be done next, by the code of the check."""
    still_open = [each for each in pending if each.chance >= SELDOM]
    checks = {check.code: check for each in still_open for check in each.trouble.search.checks}
    jobs = {code: _job(check, still_open) for code, check in checks.items()}
    return {code: job for code, job in jobs.items() if job.bits > 0}


def _job(check: PossibleCheck, pending: Iterable[_Pending]) -> _Job:
    told = [(each.bits.get(check.code, 0.0), each) for each in pending]
    told = [(bits, each) for bits, each in told if bits >= LEAST_BITS * each.chance]
    if check.per_note:
        most = max((bits / each.chance for bits, each in told), default=0.0)
        told = [(bits, each) for bits, each in told if bits / each.chance >= TELLS_ENOUGH * most]
    targets = [each for _, each in told]
    if check.per_note:
        times = fsum(each.chance * each.count for each in targets)
    else:
        times = _chance_of_any((each.chance, each.count) for each in targets)
    bits = fsum(bits * each.count for bits, each in told)
    return _Job(check, targets, bits, check.minutes * times)


def _first(jobs: dict[str, _Job], opened: Access) -> _Job:
    checks = [replace(job.check, minutes=job.minutes) for job in jobs.values()]
    ordered = ratio_order(checks, {code: job.bits for code, job in jobs.items()}, opened)
    return jobs[ordered[0].code]


def _step(job: _Job, opened: Access) -> RoundStep:
    times = sum(each.count for each in job.targets) if job.check.per_note else 1
    return RoundStep(
        check=job.check,
        minutes=job.check.minutes * times,
        access_minutes=job.check.access.minutes_from(opened),
        asked=tuple(each.asked(job.check) for each in job.targets),
    )


def _ways_on(chance: float, search: Search, check: PossibleCheck) -> list[tuple[float, Search]]:
    """Return the ways in which the search is still undecided after `check`, with their chances."""
    own = search.own(check)
    if own is None:
        return [(chance, search)]
    positive = chance_positive(search.belief, own)
    ways = [
        (chance * positive, search.after(own, positive=True)),
        (chance * (1 - positive), search.after(own, positive=False)),
    ]
    return [(each, after) for each, after in ways if after.checks and not after.cause]


def _mixture(ways: Iterable[tuple[float, Search]]) -> dict[str, float]:
    belief: dict[str, float] = {}
    for chance, search in ways:
        for cause, weight in search.belief.items():
            belief[cause] = belief.get(cause, 0.0) + chance * weight
    total = fsum(belief.values())
    return {cause: weight / total for cause, weight in belief.items()}


def _answer(
    belief: dict[str, float], check: PossibleCheck, sure: float, *, positive: bool
) -> Answer:
    chance = chance_positive(belief, check)
    after = believed_after(belief, check, positive=positive)
    return Answer(
        chance=chance if positive else 1 - chance,
        belief=after,
        cause=cause_decided(after, sure),
        next_check=None,
    )


def _chance_of_any(chances: Iterable[tuple[float, int]]) -> float:
    return 1 - prod((1 - min(1.0, chance)) ** count for chance, count in chances)
