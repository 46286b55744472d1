"""How long work takes: three-point minutes, and set-ups shared by all that is done behind them."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal


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

    def __add__(self, other: "Minutes") -> "Minutes":
        return Minutes(self.low + other.low, self.likely + other.likely, self.high + other.high)

    def times(self, count: int) -> "Minutes":
        """Return the minutes of doing it `count` times."""
        return Minutes(self.low * count, self.likely * count, self.high * count)


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
    many centres take a pin whose size shows at the bench, and which known pins are wanted.
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


def deepest_set_up(uses: Iterable[RemedyUse]) -> SetUp | None:
    """Return the one set-up that gives access to all the work, or None when there is no work."""
    return max((use.set_up for use in uses), key=lambda set_up: set_up.depth, default=None)


def parts_wanted(uses: Iterable[RemedyUse]) -> dict[int, Decimal]:
    """Return how much of each part the work needs, by part, pins of unknown size left out."""
    wanted: dict[int, Decimal] = {}
    for use in uses:
        for need in use.needs:
            wanted[need.part_id] = wanted.get(need.part_id, Decimal(0)) + need.quantity * use.times
        for pin in use.pins:
            wanted[pin.part_id] = wanted.get(pin.part_id, Decimal(0)) + pin.quantity
    return wanted
