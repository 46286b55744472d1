"""What a van takes along over its visits: for each part, and for all the pianos together."""

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from diagnostics.rules.formulas import Formula
from diagnostics.rules.pin_kit import FORMULA

NOTHING = Decimal(0)
LOADING = Formula(
    "needed beside the bags: what they lack, of centre pins at least what all the pianos are likely"
    " to take beyond what the bags hold; to load: what is needed and not in the van, as far as the"
    " shelf has it",
    "arithmetic on the stock ledger",
)
APPROVAL = Formula(
    "share of answered quotes that were approved, two yes and one no added",
    "mean of a beta distribution: Gelman et al., Bayesian Data Analysis, 3rd edition (2013), 2.4;"
    " what is added is an estimate",
)
FORMULAS = (LOADING, FORMULA, APPROVAL)


@dataclass(frozen=True)
class InBags:
    """How much of a part the job bags of open quotes hold and lack, in the part's unit."""

    in_approved: Decimal = NOTHING
    in_offered: Decimal = NOTHING
    short_in_approved: Decimal = NOTHING
    short_in_offered: Decimal = NOTHING

    def __add__(self, other: "InBags") -> "InBags":
        return InBags(
            self.in_approved + other.in_approved,
            self.in_offered + other.in_offered,
            self.short_in_approved + other.short_in_approved,
            self.short_in_offered + other.short_in_offered,
        )


@dataclass(frozen=True)
class PackedPart:
    """A part on the list, in its unit: what the bags hold, what is needed beside, what is where.

    `pins` is how many all the pianos together are likely to take, nothing of what is no centre pin.
    """

    part_id: int
    code: str
    name: str
    unit: str
    bags: InBags
    pins: Decimal
    in_van: Decimal
    on_shelf: Decimal

    @property
    def needed(self) -> Decimal:
        """How much the van should hold beside the bags.

        The pins that a bag lacks are among those that its piano is likely to take, so the larger of
        the two is needed, not both.
        """
        held = self.bags.in_approved + self.bags.in_offered
        short = self.bags.short_in_approved + self.bags.short_in_offered
        return max(short, self.pins - held)

    @property
    def to_load(self) -> Decimal:
        """How much to load from the shelf."""
        return min(max(self.needed - self.in_van, NOTHING), self.on_shelf)

    @property
    def short(self) -> Decimal:
        """How much will still be missing."""
        return max(self.needed - self.in_van - self.to_load, NOTHING)


@dataclass(frozen=True)
class ShortPart:
    """How much of a part a job bag lacks."""

    code: str
    name: str
    unit: str
    quantity: Decimal


@dataclass(frozen=True)
class PackedBag:
    """The job bag of an open quote, which is carried as it is, and what is short in it.

    `approval_chance` is 1 for what is approved already.
    """

    quote: int
    status: str
    approval_chance: Decimal
    bag: int
    name: str
    short: tuple[ShortPart, ...]


@dataclass(frozen=True)
class PianoVisited:
    """A piano, its job bags, and its centres that take a pin whose size shows at the bench."""

    instrument: int
    name: str
    action: str
    centres: int
    bags: tuple[PackedBag, ...]


@dataclass(frozen=True)
class Stop:
    """A visit, in the shop's own time, and the pianos of its site."""

    visit: int
    starts_at: datetime
    ends_at: datetime
    technician: int
    technician_name: str
    client: str
    site: str
    purpose: str
    pianos: tuple[PianoVisited, ...]


@dataclass(frozen=True)
class PinSizeToTake:
    """How many pins of a size all the pianos together are likely to take.

    `part` is the code of the shop's pin of this size, empty when it keeps none.
    """

    label: str
    diameter_um: int
    count: int
    part: str


@dataclass(frozen=True)
class PinSizeKnown:
    """What is known of a size in one kind of action: the catalogue's share, and the shop's count.

    `weight` is what both come to, in pins.
    """

    action: str
    label: str
    share: Decimal
    fitted: int
    weight: float


@dataclass(frozen=True)
class PinsToTake:
    """The pins for centres of unknown size, and what that rests on.

    `coverage` is the chance that no size runs out, or a number that it is not below unless it
    `is_exact`.
    """

    centres: int
    confidence: Decimal
    coverage: float
    is_exact: bool
    sizes: tuple[PinSizeToTake, ...]
    known: tuple[PinSizeKnown, ...]


@dataclass(frozen=True)
class PackingList:
    """What a van takes along from a shelf for the visits of these days, the last one included."""

    van: int
    van_name: str
    shelf: int
    shelf_name: str
    starts_on: date
    ends_on: date
    technician: int | None
    approval_chance: Decimal
    stops: tuple[Stop, ...]
    parts: tuple[PackedPart, ...]
    pins: PinsToTake
    formulas: tuple[Formula, ...] = FORMULAS
