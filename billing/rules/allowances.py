"""Allowances and charges on a whole document."""

from collections.abc import Mapping
from decimal import Decimal

from billing.rules.totals import TaxKey
from shop.rules.money import rounded
from shop.rules.sharing import shared


def percentage(base: Decimal, percent: Decimal, decimals: int) -> Decimal:
    """Return `percent` of `base` in money of `decimals` places.

    Source: EN 16931-1, BT-92 to BT-94 and BT-99 to BT-101.
    """
    return rounded(base * percent / 100, decimals)


def by_tax(
    amount: Decimal, bases: Mapping[TaxKey, Decimal], decimals: int
) -> dict[TaxKey, Decimal]:
    """Return an allowance or charge shared out over the tax rates by what bears them.

    EN 16931 gives each allowance one rate, so one over several is as many rows; none is nought.

    Raises:
        ValueError: nothing bears any tax rate.
    """
    shares = shared(amount, list(bases.values()), decimals)
    return {key: share for key, share in zip(bases, shares, strict=True) if share}
