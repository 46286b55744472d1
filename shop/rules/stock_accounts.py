"""What became of stock in a period, as an account that ties out in quantity and in money."""

from collections.abc import Iterable
from dataclasses import dataclass, fields
from decimal import Decimal

ZERO = Decimal(0)


@dataclass(frozen=True)
class Amount:
    """A quantity in a part's unit and what it cost."""

    quantity: Decimal = ZERO
    value: Decimal = ZERO

    def __add__(self, other: "Amount") -> "Amount":
        """Return both together."""
        return Amount(self.quantity + other.quantity, self.value + other.value)

    def __sub__(self, other: "Amount") -> "Amount":
        """Return what is left without `other`."""
        return Amount(self.quantity - other.quantity, self.value - other.value)


NOTHING = Amount()


@dataclass(frozen=True)
class StockAccount:
    """What was held at first and at last, and what came and went between.

    Opening + received - returned - used - scrapped + counted = closing, where `counted` is what
    counts found beyond the books less what they missed.
    """

    opening: Amount = NOTHING
    received: Amount = NOTHING
    returned: Amount = NOTHING
    used: Amount = NOTHING
    scrapped: Amount = NOTHING
    counted: Amount = NOTHING
    closing: Amount = NOTHING

    def __add__(self, other: "StockAccount") -> "StockAccount":
        """Return the account of both together."""
        names = (field.name for field in fields(self))
        return StockAccount(**{name: getattr(self, name) + getattr(other, name) for name in names})


def added_up(accounts: Iterable[StockAccount]) -> StockAccount:
    """Return the account of all together."""
    return sum(accounts, start=StockAccount())
