"""Line, tax and document totals, in the order that EN 16931 prescribes."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from shop.rules.money import rounded

NOTHING = Decimal(0)


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


class TaxRounding(StrEnum):
    """Where tax is rounded. EN 16931 does it on the sum of each rate; some shops must by line."""

    DOCUMENT = "document"
    LINE = "line"


@dataclass(frozen=True)
class Amount:
    """An amount before tax of a line, allowance or charge, and the tax it bears."""

    key: TaxKey
    net: Decimal


@dataclass(frozen=True)
class Totals:
    """A document's totals, in the order of EN 16931, and their breakdown by tax.

    `lines` is the sum of the lines (BT-106), `allowances` and `charges` those of the document
    (BT-107, BT-108), `net` and `gross` the totals without and with tax (BT-109, BT-112), `rounding`
    what is added to come to `payable` (BT-114, BT-115).
    """

    lines: Decimal
    allowances: Decimal
    charges: Decimal
    net: Decimal
    tax: Decimal
    gross: Decimal
    rounding: Decimal
    payable: Decimal
    taxes: tuple[TaxTotal, ...]


def line_amount(
    quantity: Decimal,
    unit_price: Decimal,
    discount_percent: Decimal,
    decimals: int,
    discount_amount: Decimal = NOTHING,
) -> LineAmount:
    """Return a line's amounts in money of `decimals` places, less a percentage and an amount.

    Source: EN 16931-1, BT-131: quantity times net price, less the line's allowances.
    """
    full = rounded(quantity * unit_price, decimals)
    discount = rounded(full * discount_percent / 100, decimals) + discount_amount
    return LineAmount(discount=discount, net=full - discount)


def totals(
    lines: Iterable[Amount],
    decimals: int,
    *,
    allowances: Iterable[Amount] = (),
    charges: Iterable[Amount] = (),
    tax_rounding: TaxRounding = TaxRounding.DOCUMENT,
    promised: Decimal | None = None,
) -> Totals:
    """Return the totals of a document in money of `decimals` places.

    Tax is found once for each code and rate, on what bears it together, unless `tax_rounding` says
    to round it on each amount. `promised` is the total with tax that prices with tax came to: what
    the tax's own rounding leaves over or short goes into `rounding`.

    Source: EN 16931-1, business rules BR-CO-10 to BR-CO-17, BR-S-08, BR-S-09.
    """
    rows = [list(lines), [_less(each) for each in allowances], list(charges)]
    taxes = _taxes([each for row in rows for each in row], decimals, tax_rounding)
    of_lines, of_allowances, of_charges = (_sum(each.net for each in row) for row in rows)
    net = of_lines + of_allowances + of_charges
    tax = _sum(each.tax for each in taxes)
    payable = net + tax if promised is None else promised
    return Totals(
        lines=of_lines,
        allowances=-of_allowances,
        charges=of_charges,
        net=net,
        tax=tax,
        gross=net + tax,
        rounding=payable - net - tax,
        payable=payable,
        taxes=taxes,
    )


def _less(amount: Amount) -> Amount:
    return Amount(amount.key, -amount.net)


def _sum(amounts: Iterable[Decimal]) -> Decimal:
    return sum(amounts, Decimal(0))


def _taxes(
    amounts: Iterable[Amount], decimals: int, tax_rounding: TaxRounding
) -> tuple[TaxTotal, ...]:
    by_key: dict[TaxKey, list[Decimal]] = {}
    for amount in amounts:
        by_key.setdefault(amount.key, []).append(amount.net)
    return tuple(
        TaxTotal(key, _sum(nets), _tax(key, nets, decimals, tax_rounding))
        for key, nets in sorted(by_key.items(), key=lambda item: (item[0].code, item[0].percent))
    )


def _tax(key: TaxKey, nets: list[Decimal], decimals: int, tax_rounding: TaxRounding) -> Decimal:
    bases = nets if tax_rounding == TaxRounding.LINE else [_sum(nets)]
    return _sum(rounded(base * key.percent / 100, decimals) for base in bases)
