"""Quoted work at other prices: the same hours, parts and fees, priced anew."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from billing.rules.pricing import TIMED
from billing.rules.totals import line_amount

NOTHING = Decimal(0)


@dataclass(frozen=True)
class QuotedLine:
    """A line as it was quoted; its discount is a share of quantity times price.

    `part_ids` are the parts of which the dearest sets its price, `fee_kind` is the kind of the fee
    that it charges.
    """

    kind: str
    quantity: Decimal
    unit_price: Decimal
    discount: Decimal
    net: Decimal
    part_ids: tuple[int, ...] = ()
    fee_kind: str | None = None


@dataclass(frozen=True)
class NetPrices:
    """Prices without tax: of an hour, of fees by kind and of parts by key."""

    decimals: int
    hour: Decimal
    fees: Mapping[str, Decimal] = field(default_factory=dict)
    parts: Mapping[int, Decimal] = field(default_factory=dict)
    minimum: Decimal = NOTHING


def net_at(lines: Sequence[QuotedLine], prices: NetPrices) -> Decimal:
    """Return what the lines come to at `prices`, and at least the minimum.

    Each keeps its quantity and its share of discount. What has no price there, such as a fee of a
    kind that is no more, keeps its own. Work that was all under warranty has no minimum.
    """
    charged = [line for line in lines if line.kind != "minimum"]
    net = sum((_net(line, prices) for line in charged), NOTHING)
    is_free = len(charged) == len(lines) and all(line.discount and not line.net for line in lines)
    return net if is_free else max(net, prices.minimum)


def _net(line: QuotedLine, prices: NetPrices) -> Decimal:
    full = line.net + line.discount
    discount_percent = line.discount * 100 / full if full else NOTHING
    price = _price(line, prices)
    return line_amount(line.quantity, price, discount_percent, prices.decimals).net


def _price(line: QuotedLine, prices: NetPrices) -> Decimal:
    if line.kind in TIMED:
        return prices.hour
    if line.part_ids:
        known = [prices.parts[part_id] for part_id in line.part_ids if part_id in prices.parts]
        return max(known, default=line.unit_price)
    return prices.fees.get(line.fee_kind or "", line.unit_price)
