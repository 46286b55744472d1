"""From work and prices to the lines of a quote."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal

from billing.rules.totals import TaxKey, TaxRounding, line_amount
from diagnostics.rules.estimate import Minutes, RemedyUse, deepest_set_up, parts_wanted
from shop.rules.money import rounded

HOUR_UNIT = "hour"
NO_MINUTES = Minutes()
TIMED = ("set_up", "labour")


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

    `minimum` is the least that a job costs; `exemption_reasons` say why a tax is none.
    """

    decimals: int
    hour: Taxed
    parts: Mapping[int, PartPrice]
    exemption_reasons: Mapping[TaxKey, str] = field(default_factory=dict)
    fees: tuple[FeePrice, ...] = ()
    minimum: FeePrice | None = None
    discount_percent: Decimal = Decimal(0)
    tax_rounding: TaxRounding = TaxRounding.DOCUMENT


@dataclass(frozen=True)
class PricedLine:
    """A line of a quote; `quantity` is in `unit`, minutes are the estimate it rests on."""

    kind: str
    description: str
    quantity: Decimal
    unit: str
    price: Taxed
    discount: Decimal
    net: Decimal
    minutes: Minutes = NO_MINUTES
    note_count: int = 0
    remedy_id: int | None = None
    part_id: int | None = None


def priced_lines(
    uses: list[RemedyUse], kit: Mapping[int, int], book: PriceBook
) -> list[PricedLine]:
    """Return the lines of a quote: the set-up once, each remedy, the parts, the fees.

    `kit` are the pins taken along for centres of unknown size, by part: the client pays one pin for
    each centre, at the dearest price of the kit, whatever the kit holds. When all of it comes to
    less than the book's minimum, a last line makes up the difference.
    """
    lines = [
        *_labour_lines(uses, book),
        *_part_lines(uses, kit, book),
        *(_line("fee", fee.name, Decimal(1), "piece", fee.price, book) for fee in book.fees),
    ]
    net = sum((line.net for line in lines), Decimal(0))
    if book.minimum and net < book.minimum.price.amount:
        missing = replace(book.minimum.price, amount=book.minimum.price.amount - net)
        undiscounted = replace(book, discount_percent=Decimal(0))
        lines.append(
            _line("minimum", book.minimum.name, Decimal(1), "piece", missing, undiscounted)
        )
    return lines


def net_when(lines: list[PricedLine], book: PriceBook, minutes_of: str) -> Decimal:
    """Return the net total if every estimate ran as `minutes_of` says: low, likely or high."""
    net = Decimal(0)
    for line in lines:
        if line.kind in TIMED:
            minutes = getattr(line.minutes, minutes_of)
            net += _line(line.kind, "", _hours(minutes), HOUR_UNIT, book.hour, book).net
        elif line.kind != "minimum":
            net += line.net
    return max(net, book.minimum.price.amount) if book.minimum else net


def net_price(price: Decimal, tax_percent: Decimal) -> Decimal:
    """Return what is left of a price that includes tax, to the four decimals of a unit price.

    It is the price of one unit that is rounded, and once: lines and totals are then found as from
    any other net price, so that what a document comes to may differ by a cent from the sum of the
    prices with tax.
    Source: EN 16931-1, BT-146, a price without tax; the tax in it is rate / (100 + rate) of it, the
    VAT fraction of HMRC, VAT Notice 700.
    """
    return rounded(price * 100 / (100 + tax_percent), 4)


def _hours(minutes: Decimal) -> Decimal:
    return rounded(minutes / 60, 2)


def _line(
    kind: str, description: str, quantity: Decimal, unit: str, price: Taxed, book: PriceBook
) -> PricedLine:
    amount = line_amount(quantity, price.amount, book.discount_percent, book.decimals)
    return PricedLine(kind, description, quantity, unit, price, amount.discount, amount.net)


def _timed_line(kind: str, description: str, minutes: Minutes, book: PriceBook) -> PricedLine:
    line = _line(kind, description, _hours(minutes.expected), HOUR_UNIT, book.hour, book)
    return replace(line, minutes=minutes)


def _labour_lines(uses: list[RemedyUse], book: PriceBook) -> list[PricedLine]:
    set_up = deepest_set_up(uses)
    lines = []
    if set_up and set_up.minutes.high:
        lines.append(_timed_line("set_up", set_up.name, set_up.minutes, book))
    for use in uses:
        line = _timed_line("labour", use.name, use.minutes.times(use.times), book)
        lines.append(replace(line, note_count=use.note_count, remedy_id=use.remedy_id))
    return lines


def _part_lines(uses: list[RemedyUse], kit: Mapping[int, int], book: PriceBook) -> list[PricedLine]:
    lines = []
    for part_id, quantity in sorted(parts_wanted(uses).items()):
        part = book.parts[part_id]
        line = _line("part", part.name, quantity, part.unit, part.price, book)
        lines.append(replace(line, part_id=part_id))
    centres = sum(use.pins_of_unknown_size for use in uses)
    if centres and kit:
        dearest = max((book.parts[part_id] for part_id in kit), key=lambda part: part.price.amount)
        name = "Centre pins, sizes as found at the bench"
        lines.append(_line("part", name, Decimal(centres), dearest.unit, dearest.price, book))
    return lines
