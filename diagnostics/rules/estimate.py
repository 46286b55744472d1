"""How long work takes: three-point minutes, and set-ups shared by all that is done behind them."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from diagnostics.rules.formulas import Formula

PERT = Formula(
    "PERT: (low + 4 likely + high) / 6, deviation (high - low) / 6, total taken as normal",
    "Malcolm, Roseboom, Clark and Fazar, Operations Research 7 (1959).",
)
# Nine in ten of a normal distribution lie below so many standard deviations above its mean, so
# that four in five lie between.
# Source: Abramowitz and Stegun, "Handbook of Mathematical Functions", table 26.5.
NINE_TENTHS = Decimal("1.28155")


@dataclass(frozen=True)
class Minutes:
    """A three-point estimate in minutes."""

    low: Decimal = Decimal(0)
    likely: Decimal = Decimal(0)
    high: Decimal = Decimal(0)

    @property
    def expected(self) -> Decimal:
        """The mean that the three points stand for, in minutes.

        Source: Malcolm, Roseboom, Clark and Fazar, "Application of a Technique for Research and
        Development Program Evaluation", Operations Research 7 (1959): (low + 4 likely + high) / 6.
        """
        return (self.low + 4 * self.likely + self.high) / 6

    @property
    def variance(self) -> Decimal:
        """The variance that the outer points stand for, in square minutes.

        Source: as `expected`: the square of (high - low) / 6.
        """
        return ((self.high - self.low) / 6) ** 2

    def __add__(self, other: "Minutes") -> "Minutes":
        return Minutes(self.low + other.low, self.likely + other.likely, self.high + other.high)

    def times(self, count: int) -> "Minutes":
        """Return the minutes of doing it `count` times."""
        return Minutes(self.low * count, self.likely * count, self.high * count)


@dataclass(frozen=True)
class TimeSpan:
    """What all the work takes, in minutes: its mean, and where four jobs in five lie."""

    expected: Decimal
    variance: Decimal
    low: Decimal
    high: Decimal


@dataclass(frozen=True)
class SetUp:
    """Getting at the work: a deeper one of the same action includes the shallower."""

    code: str
    name: str
    depth: int
    minutes: Minutes


@dataclass(frozen=True)
class PartNeed:
    """How much of a part one note, or the instrument, needs."""

    part_id: int
    quantity: Decimal


@dataclass(frozen=True)
class RemedyUse:
    """A remedy and how many notes it is done on; `times` is 1 when charged per instrument.

    `minutes` and `needs` are for one time. `pins_of_unknown_size` and `pins` are for all times: how
    many centres take a pin whose size shows at the bench, and which known pins are wanted. What is
    `free_because` of something costs the client nothing.
    """

    remedy_id: int
    name: str
    set_up: SetUp
    times: int
    note_count: int
    minutes: Minutes
    needs: tuple[PartNeed, ...] = ()
    pins_of_unknown_size: int = 0
    pins: tuple[PartNeed, ...] = ()
    free_because: str = ""


def deepest_set_up(uses: Iterable[RemedyUse]) -> SetUp | None:
    """Return the one set-up that gives access to all the work, or None when there is no work."""
    return max((use.set_up for use in uses), key=lambda set_up: set_up.depth, default=None)


def time_span(pieces: Sequence[Minutes]) -> TimeSpan:
    """Return the minutes of all `pieces` of work together, with their 80 % range.

    It is PERT's approximation: means and variances add up, as if one piece told nothing about the
    next, and the total is taken as normal. The notes of one remedy are one piece, for they do run
    alike: that widens the range. It never leaves the sums of the outer points.
    Source: as `Minutes.expected`.
    """
    whole = sum(pieces, Minutes())
    variance = sum((piece.variance for piece in pieces), Decimal(0))
    margin = NINE_TENTHS * variance.sqrt()
    return TimeSpan(
        expected=whole.expected,
        variance=variance,
        low=max(whole.low, whole.expected - margin),
        high=min(whole.high, whole.expected + margin),
    )


def work_minutes(uses: Sequence[RemedyUse]) -> list[Minutes]:
    """Return the pieces of work: the deepest set-up once, each remedy as often as it is done."""
    set_up = deepest_set_up(uses)
    first = [set_up.minutes] if set_up else []
    return first + [use.minutes.times(use.times) for use in uses]


def parts_wanted(uses: Iterable[RemedyUse]) -> dict[int, Decimal]:
    """Return how much of each part the work needs, by part, pins of unknown size left out."""
    wanted: dict[int, Decimal] = {}
    for use in uses:
        for need in use.needs:
            wanted[need.part_id] = wanted.get(need.part_id, Decimal(0)) + need.quantity * use.times
        for pin in use.pins:
            wanted[pin.part_id] = wanted.get(pin.part_id, Decimal(0)) + pin.quantity
    return wanted
