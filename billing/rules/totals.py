"""Line, tax and document totals, in the order that EN 16931 prescribes."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from shop.rules.money import rounded


@dataclass(frozen=True)
class LineAmount:
    """A line's discount and its net amount, which is after the discount."""

    discount: Decimal
    net: Decimal


@dataclass(frozen=True)
class TaxKey:
    """What lines are grouped by for tax: the code of EN 16931 and the percentage."""

    code: str
    percent: Decimal


@dataclass(frozen=True)
class TaxTotal:
    """The tax of one code and rate."""

    key: TaxKey
    taxable: Decimal
    tax: Decimal


@dataclass(frozen=True)
class Totals:
    """A document's totals and their breakdown by tax."""

    net: Decimal
    tax: Decimal
    gross: Decimal
    taxes: tuple[TaxTotal, ...]


def line_amount(
    quantity: Decimal, unit_price: Decimal, discount_percent: Decimal, decimals: int
) -> LineAmount:
    """Return a line's amounts in money of `decimals` places.

    Source: EN 16931-1, BT-131: quantity times net price, less the line's allowances.
    """
    full = rounded(quantity * unit_price, decimals)
    discount = rounded(full * discount_percent / 100, decimals)
    return LineAmount(discount=discount, net=full - discount)


def totals(lines: Iterable[tuple[TaxKey, Decimal]], decimals: int) -> Totals:
    """Return the totals of lines given as tax and net amount.

    Tax is found once for each code and rate, on the sum of its lines, and rounded there.

    Source: EN 16931-1, business rules BR-CO-10, BR-CO-13 to BR-CO-15, BR-CO-17, BR-S-08, BR-S-09.
    """
    taxable: dict[TaxKey, Decimal] = {}
    for key, net in lines:
        taxable[key] = taxable.get(key, Decimal(0)) + net
    taxes = tuple(
        TaxTotal(key, amount, rounded(amount * key.percent / 100, decimals))
        for key, amount in sorted(taxable.items(), key=lambda item: (item[0].code, item[0].percent))
    )
    net = sum((tax.taxable for tax in taxes), Decimal(0))
    tax = sum((tax.tax for tax in taxes), Decimal(0))
    return Totals(net=net, tax=tax, gross=net + tax, taxes=taxes)
