"""Allowances and charges: discounts of a line, and what is taken off or put on a whole document."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from billing.rules.totals import TaxKey
from shop.rules.money import rounded
from shop.rules.sharing import shared


@dataclass(frozen=True)
class Adjustment:
    """An allowance, or else a charge: a percentage of what bears it, or an amount, and why."""

    reason: str = ""
    percent: Decimal | None = None
    amount: Decimal | None = None
    is_charge: bool = False


@dataclass(frozen=True)
class Adjusted:
    """What an adjustment comes to at one tax rate; a percentage is of `base`."""

    key: TaxKey
    amount: Decimal
    base: Decimal | None


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


def adjusted(
    adjustment: Adjustment, bases: Mapping[TaxKey, Decimal], decimals: int
) -> list[Adjusted]:
    """Return what an adjustment of a whole document comes to, a row for each tax rate.

    `bases` are what the lines come to by rate, `decimals` those of the currency.

    Raises:
        ValueError: nothing bears an amount.
    """
    if adjustment.percent is None:
        amount = rounded(adjustment.amount or Decimal(0), decimals)
        return [
            Adjusted(key, share, None) for key, share in by_tax(amount, bases, decimals).items()
        ]
    rows = [
        Adjusted(key, percentage(base, adjustment.percent, decimals), base)
        for key, base in bases.items()
    ]
    return [row for row in rows if row.amount]


def adjusted_total(
    adjustment: Adjustment, bases: Mapping[TaxKey, Decimal], decimals: int
) -> Decimal:
    """Return what the rows of `adjusted` add up to."""
    if adjustment.percent is None:
        return rounded(adjustment.amount or Decimal(0), decimals)
    return sum((row.amount for row in adjusted(adjustment, bases, decimals)), Decimal(0))
