"""The sums of buying: which packs to buy, and what they come to."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import ceil

from shop.rules.money import rounded
from shop.rules.order_quantity import PriceFrom, price_at


@dataclass(frozen=True)
class Choice:
    """A way to buy: `packs` of the pack at `index` of those offered, for `price` each."""

    index: int
    packs: int
    price: Decimal

    @property
    def cost(self) -> Decimal:
        """What all the packs cost."""
        return self.packs * self.price


def least_packs(prices: Sequence[PriceFrom]) -> int:
    """Return from how many packs on an offer is sold: where its first price starts."""
    return min(each.from_packs for each in prices)


def cheapest(
    quantity: Decimal, offered: Sequence[tuple[Fraction, Sequence[PriceFrom]]]
) -> Choice | None:
    """Return the cheapest way to buy at least `quantity` by one of the packs offered, if any.

    Each pack comes with the stock units that it holds and its prices. More packs than are needed
    are bought where a price break makes them cost less. Of equal costs the one that brings most
    counts.
    """
    choices = [
        Choice(index, packs, price_at(prices, packs))
        for index, (contents, prices) in enumerate(offered)
        for packs in _worth_a_look(ceil(Fraction(quantity) / contents), prices)
    ]
    return min(
        choices,
        key=lambda each: (each.cost, -each.packs * offered[each.index][0]),
        default=None,
    )


def _worth_a_look(needed: int, prices: Sequence[PriceFrom]) -> list[int]:
    starts = [each.from_packs for each in prices if each.from_packs > needed]
    return [max(needed, least_packs(prices)), *starts]


def line_amount(packs: int, pack_price: Decimal, decimals: int) -> Decimal:
    """Return what a line of an order comes to, in money of `decimals` places."""
    return rounded(packs * pack_price, decimals)
