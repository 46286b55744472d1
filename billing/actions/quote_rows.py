"""Steps that put the rows of a quote together and store them."""

from collections.abc import Mapping
from decimal import Decimal

from django.conf import settings

from billing.actions.documents import Columns, adjusted_row, line_row, numbered, tax_row, totals_set
from billing.actions.quote_portions import Portion
from billing.models import (
    BagLine,
    Quote,
    QuoteAllowance,
    QuoteLine,
    QuoteOption,
    QuoteOptionPart,
    QuoteTax,
)
from billing.rules.prices import PriceBook
from billing.rules.pricing import Offer, net_when
from shop.actions.bags import Packed
from shop.actions.bulk import Rows, columns_of, rows_insert
from shop.rules.words import said


def quote_price(quote: Quote, offer: Offer, book: PriceBook) -> None:
    """Give a quote, which is stored later, its totals, their range and the minutes."""
    quote.currency, quote.minor_units = settings.CURRENCY, book.decimals
    totals_set(quote, offer.totals)
    quote.net_low = net_when(offer.lines, book, "low")
    quote.net_high = net_when(offer.lines, book, "high")
    minutes = offer.minutes
    quote.minutes_low, quote.minutes_likely = minutes.low, minutes.likely
    quote.minutes_high = minutes.high


def quote_store(
    quote: Quote, parts: list[tuple[Portion, Offer]], book: PriceBook, packed: Packed
) -> None:
    """Store a quote with its bag, moves and all that stands on it, by one statement.

    `parts` are the firm part of it and the options, each with what it comes to.
    """
    (firm, offer), *options = parts
    new_bag = {"bag_id": packed.bag} if packed.bag.values else {}
    row = Rows(Quote, [columns_of(quote)], new_bag)
    below = {"quote_id": row}
    lines = numbered(map(line_row, offer.lines))
    taxes = [tax_row(tax, book.exemption_reasons) for tax in offer.totals.taxes]
    bag_lines = [_bag_line(*item, packed.taken) for item in sorted(firm.wanted.items())]
    new_bags, (quote.pk,), *_ = rows_insert(
        packed.bag,
        row,
        packed.moves,
        Rows(QuoteLine, lines, below),
        Rows(QuoteAllowance, _allowances(offer, book), below),
        Rows(QuoteTax, taxes, below),
        Rows(BagLine, bag_lines, below),
        *_options(options, row, len(lines), book),
    )
    if new_bags:
        (quote.bag_id,) = new_bags


def _options(
    options: list[tuple[Portion, Offer]], quote: Rows, line_count: int, book: PriceBook
) -> list[Rows]:
    """Return each option with its lines, which follow `line_count` others, and its parts."""
    batches: list[Rows] = []
    for position, (portion, offer) in enumerate(options, start=1):
        row = Rows(QuoteOption, [_option(position, portion, offer, book)], {"quote_id": quote})
        lines = [
            line_row(line) | {"position": place}
            for place, line in enumerate(offer.lines, start=line_count + 1)
        ]
        parts = [
            {"part_id": part_id, "quantity": quantity}
            for part_id, quantity in sorted(portion.wanted.items())
        ]
        batches += [
            row,
            Rows(QuoteLine, lines, {"quote_id": quote, "option_id": row}),
            Rows(QuoteOptionPart, parts, {"option_id": row}),
        ]
        line_count += len(lines)
    return batches


def _option(position: int, portion: Portion, offer: Offer, book: PriceBook) -> Columns:
    names = ", ".join(said(book.words, use.name) for use in portion.uses)[:200]
    return {
        "position": position,
        "title": (portion.option and portion.option.title) or names,
        "is_default": bool(portion.option and portion.option.is_default),
        "net_total": offer.totals.net,
        "tax_total": offer.totals.tax,
        "gross_total": offer.totals.gross,
    }


def _allowances(offer: Offer, book: PriceBook) -> list[Columns]:
    categories = {line.price.tax: line.price.tax_category_id for line in offer.lines}
    return numbered(
        adjusted_row(book.discount, row, categories[row.key])
        for row in offer.allowances
        if book.discount
    )


def _bag_line(part_id: int, wanted: Decimal, taken: Mapping[int, Decimal]) -> Columns:
    return {"part_id": part_id, "wanted_quantity": wanted, "taken_quantity": taken[part_id]}
