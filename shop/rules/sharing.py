"""Sharing money out to the last cent."""

from collections.abc import Sequence
from decimal import ROUND_DOWN, Decimal


def shared(amount: Decimal, weights: Sequence[Decimal], decimals: int) -> list[Decimal]:
    """Return `amount` shared out by `weights`, in money of `decimals` places.

    The shares add up to the amount: what rounding down leaves goes, a smallest coin each, to those
    whose remainder is largest, and among equals to the first.

    Source: the method of largest remainders (Hamilton, 1792; common practice of allocation).

    Raises:
        ValueError: the weights are negative or all nought, or the amount is too fine or negative.
    """
    whole, coin = sum(weights, Decimal(0)), Decimal(1).scaleb(-decimals)
    if whole <= 0 or min(weights) < 0:
        raise ValueError("Weights are not negative, and not all of them are nought.")
    if amount < 0 or amount != amount.quantize(coin):
        raise ValueError(f"{amount} is not an amount of {decimals} decimals.")
    exact = [amount * weight / whole for weight in weights]
    shares = [each.quantize(coin, ROUND_DOWN) for each in exact]
    coins = int((amount - sum(shares, Decimal(0))) / coin)
    by_remainder = sorted(range(len(exact)), key=lambda place: shares[place] - exact[place])
    for place in by_remainder[:coins]:
        shares[place] += coin
    return shares
