"""What the shop charges on a day: the prices before tax that quotes are made from."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from billing.rules.allowances import Adjustment
from billing.rules.totals import TaxKey, TaxRounding
from shop.rules.money import rounded
from shop.rules.words import Words

# What a line charges for: its kind, and the key of the remedy or part, or the place of the fee.
LineKey = tuple[str, int]


@dataclass(frozen=True)
class Taxed:
    """An amount of money before tax, and the tax it bears."""

    amount: Decimal
    tax_category_id: int
    tax: TaxKey


@dataclass(frozen=True)
class PartPrice:
    """A part's name, unit and price for one unit."""

    name: str
    unit: str
    price: Taxed


@dataclass(frozen=True)
class FeePrice:
    """A fee that is charged once."""

    name: str
    price: Taxed


@dataclass(frozen=True)
class PriceBook:
    """What the shop charges on the day of the quote.

    `minimum` is the least that a job costs; `exemption_reasons` say why a tax is none. `discounts`
    are those of single lines, `discount` that of the whole. Lines are described in `words`.
    """

    decimals: int
    hour: Taxed
    parts: Mapping[int, PartPrice]
    exemption_reasons: Mapping[TaxKey, str] = field(default_factory=dict)
    fees: tuple[FeePrice, ...] = ()
    minimum: FeePrice | None = None
    discounts: Mapping[LineKey, Adjustment] = field(default_factory=dict)
    discount: Adjustment | None = None
    tax_rounding: TaxRounding = TaxRounding.DOCUMENT
    words: Words = field(default_factory=dict)


def net_price(price: Decimal, tax_percent: Decimal) -> Decimal:
    """Return what is left of a price that includes tax, to the four decimals of a unit price.

    It is the price of one unit that is rounded, and once: lines and totals are then found as from
    any other net price, so that what a document comes to may differ by a cent from the sum of the
    prices with tax.
    Source: EN 16931-1, BT-146, a price without tax; the tax in it is rate / (100 + rate) of it, the
    VAT fraction of HMRC, VAT Notice 700.
    """
    return rounded(price * 100 / (100 + tax_percent), 4)
