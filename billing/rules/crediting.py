"""What a credit note takes back: never more than is left, and in the end all of it to the cent."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from billing.rules.totals import TaxKey, TaxTotal
from shop.rules.money import rounded

NOTHING = Decimal(0)


@dataclass(frozen=True)
class Creditable:
    """A line, allowance or charge of an invoice: its tax, its amount, and what is credited of it.

    What an allowance takes off is less than nothing.
    """

    row_id: int
    key: TaxKey
    amount: Decimal
    credited: Decimal = NOTHING

    @property
    def left(self) -> Decimal:
        """What can still be taken back."""
        return self.amount - self.credited


@dataclass(frozen=True)
class Credit:
    """What is taken back of each line, and of each allowance and charge, and the tax on it."""

    lines: Mapping[int, Decimal]
    allowances: Mapping[int, Decimal]
    taxes: tuple[TaxTotal, ...]


def credit(
    lines: Sequence[Creditable],
    allowances: Sequence[Creditable],
    tax_left: Mapping[TaxKey, Decimal],
    wanted: Mapping[int, Decimal],
    decimals: int,
) -> Credit:
    """Return the credit of `wanted` net amounts by line, in money of `decimals` places.

    The document's allowances and charges go back in the share that their tax rate's lines do.
    Whatever completes a rate takes the cents that rounding left of its allowances and of its tax,
    of which `tax_left` is not credited yet.
    """
    credited_lines: dict[int, Decimal] = {}
    credited_allowances: dict[int, Decimal] = {}
    taxes = []
    for key, left in tax_left.items():
        of_lines = [line for line in lines if line.key == key]
        now = {line.row_id: wanted[line.row_id] for line in of_lines if wanted.get(line.row_id)}
        completes = all(line.left == now.get(line.row_id, NOTHING) for line in of_lines)
        if not now:
            continue
        demanded = _sum(line.amount for line in of_lines)
        share = _sum(now.values()) / demanded if demanded else NOTHING
        also = {
            row.row_id: row.left if completes else rounded(row.amount * share, decimals)
            for row in allowances
            if row.key == key
        }
        taxable = _sum(now.values()) + _sum(also.values())
        tax = left if completes else min(left, rounded(taxable * key.percent / 100, decimals))
        taxes.append(TaxTotal(key, taxable, tax))
        credited_lines |= now
        credited_allowances |= {row_id: amount for row_id, amount in also.items() if amount}
    return Credit(credited_lines, credited_allowances, tuple(taxes))


def _sum(amounts: Iterable[Decimal]) -> Decimal:
    return sum(amounts, NOTHING)
