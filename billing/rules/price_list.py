"""The prices of a day as the shop entered them, and what a change makes of them."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal

from shop.rules.money import rounded

# What prices are kept to: one for a unit of a part has four decimals, the others three.
UNIT_PRICE_DECIMALS = 4
AMOUNT_DECIMALS = 3


@dataclass(frozen=True)
class ListPrice:
    """A price as it was entered, with or without tax as the shop's prices are."""

    name: str
    amount: Decimal
    tax_category_id: int
    unit: str = "piece"


@dataclass(frozen=True)
class PriceList:
    """What an hour costs, the fees by their kind and the parts by their keys."""

    hour: ListPrice
    fees: Mapping[str, ListPrice]
    parts: Mapping[int, ListPrice]


@dataclass(frozen=True)
class Change:
    """What becomes of a price: another amount, or so many percent more (or less) of it."""

    amount: Decimal | None = None
    percent: Decimal = Decimal(0)

    def of(self, price: ListPrice, decimals: int) -> ListPrice:
        """Return the price as changed; a percentage is rounded to `decimals`."""
        share = rounded(price.amount * (100 + self.percent) / 100, decimals)
        return replace(price, amount=share if self.amount is None else self.amount)


UNCHANGED = Change()


@dataclass(frozen=True)
class Proposal:
    """Changes of the price list; `all_parts` is for the parts that `parts` does not name."""

    hour: Change = UNCHANGED
    fees: Mapping[str, Change] = field(default_factory=dict)
    parts: Mapping[int, Change] = field(default_factory=dict)
    all_parts: Change = UNCHANGED


def proposed(prices: PriceList, proposal: Proposal) -> PriceList:
    """Return the price list as it would be after `proposal`."""
    return PriceList(
        hour=proposal.hour.of(prices.hour, AMOUNT_DECIMALS),
        fees={
            kind: proposal.fees.get(kind, UNCHANGED).of(fee, AMOUNT_DECIMALS)
            for kind, fee in prices.fees.items()
        },
        parts={
            key: proposal.parts.get(key, proposal.all_parts).of(part, UNIT_PRICE_DECIMALS)
            for key, part in prices.parts.items()
        },
    )
