"""From work and prices to the lines of a quote."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from billing.rules.allowances import Adjusted, Adjustment, adjusted, adjusted_total
from billing.rules.extra_work import further_set_up
from billing.rules.prices import LineKey, PriceBook, Taxed
from billing.rules.totals import NOTHING, Amount, TaxKey, Totals, line_amount, totals
from diagnostics.rules.estimate import Minutes, RemedyUse, SetUp, deepest_set_up, parts_wanted
from shop.rules.money import rounded
from shop.rules.words import said

HOUR_UNIT = "hour"
NO_MINUTES = Minutes()
NO_SET_UP = SetUp("", "", -1, NO_MINUTES)
UNDISCOUNTED = Adjustment()
FULL = Decimal(100)
PIN_KIT = ("part", 0)
MINIMUM = ("minimum", 0)
TIMED = ("set_up", "labour")


@dataclass(frozen=True)
class PricedLine:
    """A line of a quote; `quantity` is in `unit`, minutes are the estimate it rests on.

    `discount` is what `off` comes to.
    """

    kind: str
    description: str
    quantity: Decimal
    unit: str
    price: Taxed
    discount: Decimal
    net: Decimal
    key: LineKey
    off: Adjustment = UNDISCOUNTED
    minutes: Minutes = NO_MINUTES
    note_count: int = 0
    remedy_id: int | None = None
    part_id: int | None = None


@dataclass(frozen=True)
class Offer:
    """The lines of a quote, what is taken off the whole of them, and what they come to."""

    lines: list[PricedLine]
    allowances: list[Adjusted]
    totals: Totals

    @property
    def minutes(self) -> Minutes:
        """The three-point estimate of all the work."""
        return sum((line.minutes for line in self.lines), NO_MINUTES)


def offer_of(lines: list[PricedLine], book: PriceBook, *, is_firm: bool = True) -> Offer:
    """Return what lines come to; the discount of the whole is on the firm part, less the minimum.

    Raises:
        ValueError: nothing bears a discount.
    """
    discount = book.discount if is_firm else None
    off = adjusted(discount, _bases(lines), book.decimals) if discount else []
    found = totals(
        [Amount(line.price.tax, line.net) for line in lines],
        book.decimals,
        allowances=[Amount(row.key, row.amount) for row in off],
        tax_rounding=book.tax_rounding,
    )
    return Offer(lines, off, found)


def priced_lines(
    uses: list[RemedyUse], kit: Mapping[int, int], book: PriceBook
) -> list[PricedLine]:
    """Return the lines of a quote: the set-up once, each remedy, the parts, the fees.

    What is free has its price taken off, with the reason, and so has what it takes to get further
    in for it than for the rest; if all the work is free, so are the fees, and there is no minimum.

    `kit` are the pins taken along for centres of unknown size, by part: the client pays one pin for
    each centre, at the dearest price of the kit, whatever the kit holds. When all of it, discounts
    taken off, comes to less than the book's minimum, a last line makes up the difference.
    """
    lines = [
        *_set_up_lines(uses, [], book),
        *_labour_lines(uses, book),
        *_part_lines(uses, kit, book),
        *(
            _line(("fee", place), fee.name, Decimal(1), "piece", fee.price, book, _all_free(uses))
            for place, fee in enumerate(book.fees)
        ),
    ]
    net = _net(lines, book)
    if book.minimum and not _all_free(uses) and net < book.minimum.price.amount:
        missing = replace(book.minimum.price, amount=book.minimum.price.amount - net)
        lines.append(_line(MINIMUM, book.minimum.name, Decimal(1), "piece", missing, book))
    return lines


def option_lines(
    uses: list[RemedyUse], kit: Mapping[int, int], firm: list[RemedyUse], book: PriceBook
) -> list[PricedLine]:
    """Return the lines of work that is done beside the `firm` work if the client likes.

    Of its set-up only what goes deeper than that of the firm work is charged; no fee is.
    """
    return [
        *_set_up_lines(uses, firm, book),
        *_labour_lines(uses, book),
        *_part_lines(uses, kit, book),
    ]


def _free(reason: str) -> Adjustment | None:
    """Return what takes off all of a line's price, for a reason."""
    return Adjustment(reason, percent=FULL) if reason else None


def _all_free(uses: list[RemedyUse]) -> Adjustment | None:
    reasons = [use.free_because for use in uses]
    return _free(reasons[0]) if all(reasons) and reasons else None


def _net(lines: list[PricedLine], book: PriceBook) -> Decimal:
    net = sum((line.net for line in lines), NOTHING)
    if book.discount is None:
        return net
    return max(net - adjusted_total(book.discount, _bases(lines), book.decimals), NOTHING)


def _bases(lines: list[PricedLine]) -> dict[TaxKey, Decimal]:
    bases: dict[TaxKey, Decimal] = {}
    for line in lines:
        if line.key != MINIMUM:
            bases[line.price.tax] = bases.get(line.price.tax, NOTHING) + line.net
    return bases


def net_when(lines: list[PricedLine], book: PriceBook, minutes_of: str) -> Decimal:
    """Return the net total if every estimate ran as `minutes_of` says: low, likely or high."""
    net = _net([_line_when(line, book, minutes_of) for line in lines if line.key != MINIMUM], book)
    is_charged = any(line.off.percent != FULL for line in lines)
    return max(net, book.minimum.price.amount) if book.minimum and is_charged else net


def _line_when(line: PricedLine, book: PriceBook, minutes_of: str) -> PricedLine:
    if line.kind not in TIMED:
        return line
    hours = _hours(getattr(line.minutes, minutes_of))
    timed = _line(line.key, "", hours, HOUR_UNIT, book.hour, book, line.off)
    # A discount of an amount may be more than little work comes to.
    return replace(timed, net=max(timed.net, NOTHING))


def _hours(minutes: Decimal) -> Decimal:
    return rounded(minutes / 60, 2)


def _line(
    key: LineKey,
    description: str,
    quantity: Decimal,
    unit: str,
    price: Taxed,
    book: PriceBook,
    off: Adjustment | None = None,
) -> PricedLine:
    off = off or book.discounts.get(key, UNDISCOUNTED)
    amount = line_amount(
        quantity, price.amount, off.percent or NOTHING, book.decimals, off.amount or NOTHING
    )
    return PricedLine(
        kind=key[0],
        description=said(book.words, description),
        quantity=quantity,
        unit=unit,
        price=price,
        discount=amount.discount,
        net=amount.net,
        key=key,
        off=off,
    )


def _timed_line(
    key: LineKey, description: str, minutes: Minutes, book: PriceBook, off: Adjustment | None
) -> PricedLine:
    line = _line(key, description, _hours(minutes.expected), HOUR_UNIT, book.hour, book, off)
    return replace(line, minutes=minutes)


def _set_up_lines(
    uses: list[RemedyUse], done: list[RemedyUse], book: PriceBook
) -> list[PricedLine]:
    """Return what it takes to get further in than for work that is `done`: the free part last."""
    lines, reached = [], deepest_set_up(done) or NO_SET_UP
    for is_free in (False, True):
        group = [use for use in uses if bool(use.free_because) == is_free]
        deepest = max(group, key=lambda use: use.set_up.depth, default=None)
        if deepest and deepest.set_up.depth > reached.depth:
            further = further_set_up(deepest.set_up, reached.depth, reached.minutes)
            off = _free(deepest.free_because)
            if further.minutes.high:
                key = "set_up", 0
                lines.append(_timed_line(key, further.name, further.minutes, book, off))
            reached = deepest.set_up
    return lines


def _labour_lines(uses: list[RemedyUse], book: PriceBook) -> list[PricedLine]:
    lines = []
    for use in uses:
        key = "labour", use.remedy_id
        minutes = use.minutes.times(use.times)
        line = _timed_line(key, use.name, minutes, book, _free(use.free_because))
        lines.append(replace(line, note_count=use.note_count, remedy_id=use.remedy_id))
    return lines


def _part_lines(uses: list[RemedyUse], kit: Mapping[int, int], book: PriceBook) -> list[PricedLine]:
    lines = []
    for reason in sorted({use.free_because for use in uses}):
        alike = [use for use in uses if use.free_because == reason]
        lines += _parts_of(alike, kit, book, _free(reason))
    return lines


def _parts_of(
    uses: list[RemedyUse], kit: Mapping[int, int], book: PriceBook, off: Adjustment | None
) -> list[PricedLine]:
    lines = []
    for part_id, quantity in sorted(parts_wanted(uses).items()):
        part = book.parts[part_id]
        line = _line(("part", part_id), part.name, quantity, part.unit, part.price, book, off)
        lines.append(replace(line, part_id=part_id))
    centres = sum(use.pins_of_unknown_size for use in uses)
    if centres and kit:
        dearest = max((book.parts[part_id] for part_id in kit), key=lambda part: part.price.amount)
        name = "Centre pins, sizes as found at the bench"
        quantity = Decimal(centres)
        lines.append(_line(PIN_KIT, name, quantity, dearest.unit, dearest.price, book, off))
    return lines
