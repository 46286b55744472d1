"""What else to order when a supplier takes no order below a minimum."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from heapq import heapify, heappop, heapreplace

from shop.rules.order_quantity import MOST_YEARS, PriceFrom, price_at

NOTHING = Decimal(0)


@dataclass(frozen=True)
class Orderable:
    """A part that the supplier sells and that is asked for.

    `packs` are to be ordered anyway; `position` is what may be counted on before that, and `yearly`
    the demand, in packs.
    """

    packs: int
    position: Decimal
    yearly: Decimal
    prices: Sequence[PriceFrom]

    def cover_years(self, packs: int) -> Decimal:
        """Return for how long what there is and so many packs would last."""
        return (self.position + packs) / self.yearly


def filled_up(parts: Sequence[Orderable], minimum: Decimal) -> list[int]:
    """Return how many packs of each part to order so that they come to `minimum` together.

    Pack by pack, the part that would be the first to run out is added to, but no part beyond the
    longest that anything is bought for; if that is too little, the order stays below the minimum.
    """
    packs = [part.packs for part in parts]
    missing = minimum - sum(map(_cost, parts, packs), NOTHING)
    first_out = [(part.cover_years(part.packs), index) for index, part in enumerate(parts)]
    heapify(first_out)
    while missing > 0 and first_out:
        _, index = first_out[0]
        part, before = parts[index], packs[index]
        more = before + 1 if before else min(each.from_packs for each in part.prices)
        cover = part.cover_years(more)
        if cover > MOST_YEARS:
            heappop(first_out)
            continue
        packs[index] = more
        missing -= _cost(part, more) - _cost(part, before)
        heapreplace(first_out, (cover, index))
    return packs


def _cost(part: Orderable, packs: int) -> Decimal:
    return packs * price_at(part.prices, packs)
