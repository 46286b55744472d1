"""The sums of an order."""

from collections.abc import Sequence
from decimal import Decimal

from shop.rules.money import rounded
from shop.rules.order_quantity import PriceFrom


def least_packs(prices: Sequence[PriceFrom]) -> int:
    """Return from how many packs on an offer is sold: where its first price starts."""
    return min(each.from_packs for each in prices)


def line_amount(packs: int, pack_price: Decimal, decimals: int) -> Decimal:
    """Return what a line of an order comes to, in money of `decimals` places."""
    return rounded(packs * pack_price, decimals)
