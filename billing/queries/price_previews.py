"""What a change of prices would make of quotes that were made: nothing is stored."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db.models import Prefetch, QuerySet

from billing.models import BagLine, Fee, LineKind, Quote, QuoteLine
from billing.queries.price_book import price_book_of, price_list_on, refuse_unknown_fees
from billing.queries.taxes import Taxes, TaxTable, place_of
from billing.rules.price_list import PriceList, Proposal, proposed
from billing.rules.repricing import NOTHING, NetPrices, QuotedLine, net_at
from shop.models import Language, PartCategory, ShopProfile
from shop.queries.words import words_in
from shop.rules.words import said


@dataclass(frozen=True)
class Preview:
    """What a quote's lines come to, before tax: at the prices of a day, and at those proposed."""

    quote: Quote
    net_now: Decimal
    net_proposed: Decimal

    @property
    def difference(self) -> Decimal:
        """What the change adds."""
        return self.net_proposed - self.net_now


def quotes_sampled(*, first: date | None, last: date | None, most: int) -> QuerySet[Quote]:
    """Return the newest quotes, at most so many, made on the days from `first` to `last`."""
    rows = Quote.objects.order_by("-made_at", "-id")
    if first:
        rows = rows.filter(made_at__date__gte=first)
    if last:
        rows = rows.filter(made_at__date__lte=last)
    return rows[:most]


def price_previews(*, sample: QuerySet[Quote], proposal: Proposal, day: date) -> list[Preview]:
    """Return each quote of the sample at the prices of `day`, without and with the proposal.

    Raises:
        Refused: `labour-rate-missing`, `tax-rate-missing`, or `fee-unknown` for a change of a fee
            that is not kept.
    """
    quotes = list(_with_lines(sample))
    kinds = _fee_kinds()
    lines = {quote.pk: _quoted_lines(quote, kinds) for quote in quotes}
    parts = {part for rows in lines.values() for line in rows for part in line.part_ids}
    now = price_list_on(day, parts)
    refuse_unknown_fees(proposal.fees, now)
    then = proposed(now, proposal)
    profile = ShopProfile.objects.get()
    table = TaxTable(profile=profile, day=day)
    places = {quote.pk: place_of(quote.examination.instrument.site, profile) for quote in quotes}
    prices = {place: _both(now, then, table.at(place)) for place in set(places.values())}
    return [
        Preview(quote, *(net_at(lines[quote.pk], each) for each in prices[places[quote.pk]]))
        for quote in quotes
    ]


def _fee_kinds() -> dict[str, str]:
    """Return the kind of each fee by its name, as lines say it in any language."""
    fees = list(Fee.objects.values_list("name", "kind"))
    return {said(words_in(each), name): kind for name, kind in fees for each in Language.values}


def _both(now: PriceList, then: PriceList, taxes: Taxes) -> tuple[NetPrices, NetPrices]:
    return _net_prices(now, taxes), _net_prices(then, taxes)


def _net_prices(prices: PriceList, taxes: Taxes) -> NetPrices:
    book = price_book_of(prices, taxes, prices.fees.values())
    return NetPrices(
        decimals=book.decimals,
        hour=book.hour.amount,
        fees=dict(zip(prices.fees, (fee.price.amount for fee in book.fees), strict=True)),
        parts={key: part.price.amount for key, part in book.parts.items()},
        minimum=book.minimum.price.amount if book.minimum else NOTHING,
    )


def _with_lines(sample: QuerySet[Quote]) -> QuerySet[Quote]:
    pins = BagLine.objects.filter(part__category=PartCategory.CENTRE_PIN)
    return sample.select_related("examination__instrument__site").prefetch_related(
        Prefetch(
            "lines",
            QuoteLine.objects.filter(option=None).select_related("part").order_by("position"),
        ),
        Prefetch("bag_lines", pins),
    )


def _quoted_lines(quote: Quote, kinds: Mapping[str, str]) -> list[QuotedLine]:
    return [
        QuotedLine(
            kind=line.kind,
            quantity=line.quantity,
            unit_price=line.unit_price,
            discount=line.discount_amount,
            net=line.net_amount,
            part_ids=_priced_by(line, quote),
            fee_kind=kinds.get(line.description) if line.kind == LineKind.FEE else None,
        )
        for line in quote.lines.all()
    ]


def _priced_by(line: QuoteLine, quote: Quote) -> tuple[int, ...]:
    """Return the parts that set a line's price: for pins as found, those of the bag."""
    if line.part_id:
        return (line.part_id,)
    is_kit = line.kind == LineKind.PART
    return tuple(pin.part_id for pin in quote.bag_lines.all()) if is_kit else ()
