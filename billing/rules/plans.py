"""Two plans for one examination: repair everything now, or treat the room and repair what is left.

What work costs is a mean and a variance, by PERT. Pieces of work tell nothing of each other, but
the same piece costs alike however often and in whichever plan it is done: so of two plans only what
they do differently makes one of them cheaper.
"""

from bisect import bisect_left
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from math import ceil, floor, fsum, sqrt
from statistics import NormalDist

from diagnostics.rules.formulas import Formula
from diagnostics.rules.work_left import WaitingWork, ways_left

FORECAST = Formula(
    "mixture over what may be left; the cost of each taken as normal by PERT, and the cost of a"
    " visit as the minimum charge where that is expected to be more",
    "estimate",
)
NORMAL = NormalDist()
# Beyond so many deviations nothing of a normal distribution is left that a cent would show.
FAR = 8
EVEN = 0.5
NOTHING = Fraction(0)


@dataclass(frozen=True)
class Piece:
    """Work, and what one time of it costs before tax: the mean and the variance of that."""

    name: str
    mean: Fraction
    variance: Fraction = NOTHING


@dataclass(frozen=True)
class SetUpPiece:
    """Getting at the work; a deeper one includes the shallower."""

    depth: int
    piece: Piece


@dataclass(frozen=True)
class Job:
    """A remedy, the notes on which it is done in any case, and those that could wait.

    No note is in both. `once` says that it is charged once, however many notes there are.
    """

    remedy_id: int
    piece: Piece
    set_up: SetUpPiece
    now: frozenset[int] = frozenset()
    waiting: frozenset[int] = frozenset()
    once: bool = False

    def times(self, notes: frozenset[int]) -> Fraction:
        """Return how often it is done for these notes."""
        return Fraction(min(len(notes), 1) if self.once else len(notes))


@dataclass(frozen=True)
class Tariff:
    """What a visit costs beside work, before tax: coming, and the least that is charged."""

    travel: Fraction = NOTHING
    minimum: Fraction = NOTHING


@dataclass(frozen=True)
class Bill:
    """What is done how often, and what is charged beside it."""

    times: Mapping[Piece, Fraction] = field(default_factory=dict)
    fees: Fraction = NOTHING

    @property
    def mean(self) -> Fraction:
        """The expected sum."""
        return sum((piece.mean * times for piece, times in self.times.items()), self.fees)

    @property
    def variance(self) -> Fraction:
        """The variance of the sum."""
        return sum((piece.variance * times**2 for piece, times in self.times.items()), NOTHING)

    def plus(self, other: "Bill", factor: int = 1) -> "Bill":
        """Return both bills together, the other taken `factor` times: -1 gives the difference."""
        times = dict(self.times)
        for piece, number in other.times.items():
            times[piece] = times.get(piece, NOTHING) + factor * number
        return Bill(times, self.fees + factor * other.fees)

    def chance_below(self, amount: Fraction) -> float:
        """Return the chance that the sum is below `amount`."""
        variance = self.variance
        if not variance:
            return float(self.mean < amount)
        return NORMAL.cdf(float(amount - self.mean) / sqrt(variance))


@dataclass(frozen=True)
class Plan:
    """What a plan may come to: bills, and how likely each is."""

    outcomes: Sequence[tuple[Fraction, Bill]]

    @property
    def expected(self) -> Fraction:
        """The expected cost, before tax."""
        return sum((chance * bill.mean for chance, bill in self.outcomes), NOTHING)

    def quantile(self, share: float, decimals: int) -> Decimal:
        """Return the least amount that the cost stays within in that share of all cases."""
        unit = 10**decimals
        bells = [
            (float(chance), bill.mean * unit, sqrt(bill.variance) * unit)
            for chance, bill in self.outcomes
        ]
        lowest = floor(min(mean - FAR * deviation for _, mean, deviation in bells))
        highest = ceil(max(mean + FAR * deviation for _, mean, deviation in bells))
        found = bisect_left(
            range(lowest, highest), share, key=lambda amount: _chance_within(bells, amount)
        )
        return Decimal(lowest + found).scaleb(-decimals)


def _chance_within(bells: Iterable[tuple[float, Fraction, float]], amount: int) -> float:
    """Return the chance of at most `amount`, by chances, means and deviations."""
    return fsum(
        chance * (NORMAL.cdf(float(amount - mean) / deviation) if deviation else amount >= mean)
        for chance, mean, deviation in bells
    )


class PlanKind(StrEnum):
    """What is done at once."""

    NOW = "now"
    ROOM_FIRST = "room_first"


@dataclass(frozen=True)
class Plans:
    """Both plans, what the first visit of the second costs, and how often the second is cheaper."""

    now: Plan
    room_first: Plan
    first_visit: Plan
    room_first_is_cheaper: float


def plan_now(jobs: Iterable[Job], tariff: Tariff) -> Plan:
    """Return the plan to repair everything in one visit."""
    return Plan([(Fraction(1), _everything(jobs, tariff))])


def plans(
    jobs: Sequence[Job],
    treatment: Sequence[Job],
    tariff: Tariff,
    cured_chances: Sequence[float],
) -> Plans:
    """Return both plans; `cured_chances` are those that 0, 1, ... all that waits is cured.

    `treatment` is done by the second plan alone, whose first visit treats the room and does what
    does not wait, and whose second does what is left then.
    """
    now = _everything(jobs, tariff)
    first = _visit({job: job.times(job.now) for job in (*treatment, *jobs)}, tariff)
    outcomes = []
    for left in ways_left([_waiting(job) for job in jobs if job.waiting], cured_chances):
        work = {job: left.times.get(job.remedy_id, NOTHING) for job in jobs}
        outcomes.append((left.chance, first.plus(_visit(work, tariff))))
    return Plans(
        now=Plan([(Fraction(1), now)]),
        room_first=Plan(outcomes),
        first_visit=Plan([(Fraction(1), first)]),
        room_first_is_cheaper=fsum(
            float(chance) * bill.plus(now, -1).chance_below(NOTHING) for chance, bill in outcomes
        ),
    )


def _everything(jobs: Iterable[Job], tariff: Tariff) -> Bill:
    """Return the bill of all the work in one visit: of none, nothing."""
    times = {job: job.times(job.now | job.waiting) for job in jobs}
    return _visit(times, tariff) if any(times.values()) else Bill()


def _visit(times: Mapping[Job, Fraction], tariff: Tariff) -> Bill:
    """Return the bill of one visit: the deepest set-up once, the work, the travel."""
    done = {job: number for job, number in times.items() if number}
    pieces = {job.piece: number for job, number in done.items()}
    set_up = max((job.set_up for job in done), key=lambda set_up: set_up.depth, default=None)
    if set_up:
        pieces[set_up.piece] = Fraction(1)
    bill = Bill(pieces, tariff.travel)
    return bill if bill.mean >= tariff.minimum else Bill(fees=tariff.minimum)


def _waiting(job: Job) -> WaitingWork:
    return WaitingWork(job.remedy_id, job.set_up.depth, job.waiting, is_per_note=not job.once)


@dataclass(frozen=True)
class Advice:
    """Which plan is advised, and why; None while nothing can be said."""

    plan: PlanKind | None
    sentence: str


def advice(room_first_is_cheaper: float, *, is_widespread: bool) -> Advice:
    """Return which of both plans is advised, of an instrument in a room that is out of range."""
    cheaper = f"is cheaper in {100 * room_first_is_cheaper:.0f} % of cases"
    if is_widespread:
        because = (
            "what it may cure is widespread, and what is fitted in this air will not fit later"
        )
        sentence = f"Room first, by common practice: {because}. It {cheaper}."
        return Advice(PlanKind.ROOM_FIRST, sentence)
    if room_first_is_cheaper >= EVEN:
        return Advice(PlanKind.ROOM_FIRST, f"Room first: it {cheaper}.")
    return Advice(PlanKind.NOW, f"Repair now: treating the room first {cheaper}.")
