"""What the shop charges on a given day."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from typing import Any

from django.conf import settings
from django.db.models import QuerySet

from billing.models import Fee, FeeKind, LabourRate
from billing.queries.taxes import Taxes, TaxTable, in_force, place_of
from billing.rules.price_list import ListPrice, PriceList
from billing.rules.prices import FeePrice, PartPrice, PriceBook
from billing.rules.pricing import HOUR_UNIT
from billing.rules.totals import TaxRounding
from shop.errors import FieldError, Refused
from shop.models import Part, ShopProfile, Site
from shop.queries.part_prices import with_prices
from shop.rules.money import minor_units, rounded
from shop.rules.words import ENGLISH, Words


def price_book_on(
    *,
    day: date,
    profile: ShopProfile,
    site: Site,
    part_ids: Iterable[int],
    fee_kinds: Iterable[FeeKind],
    words: Words = ENGLISH,
) -> PriceBook:
    """Return the prices on `day` of an hour, of the parts named and of the fees asked for.

    Taxes are those of `site`, where the work is done; lines and reasons are described in `words`.

    Raises:
        Refused: `labour-rate-missing`, `tax-rate-missing` or `fee-unknown`.
    """
    prices = price_list_on(day, part_ids)
    taxes = TaxTable(profile=profile, day=day, words=words).at(place_of(site, profile))
    refuse_unknown_fees(fee_kinds, prices)
    return price_book_of(prices, taxes, [prices.fees[kind] for kind in fee_kinds])


def price_list_on(day: date, part_ids: Iterable[int]) -> PriceList:
    """Return the prices in force on `day` as they were entered, of these parts.

    Raises:
        Refused: `labour-rate-missing`.
    """
    rate = LabourRate.objects.filter(in_force(day)).first()
    if rate is None:
        raise Refused("labour-rate-missing", f"No labour rate holds on {day}; the owner sets one.")
    parts: QuerySet[Any] = with_prices(Part.objects.filter(pk__in=set(part_ids)), day)
    return PriceList(
        hour=ListPrice(rate.name, rate.per_hour, rate.tax_category_id, HOUR_UNIT),
        fees={
            fee.kind: ListPrice(fee.name, fee.amount, fee.tax_category_id)
            for fee in Fee.objects.filter(in_force(day))
        },
        parts={
            part.pk: ListPrice(part.name, part.price_in_force, part.tax_category_id, part.unit)
            for part in parts
        },
    )


def refuse_unknown_fees(kinds: Iterable[str], prices: PriceList) -> None:
    """Go on only when the price list has a fee of each kind.

    Raises:
        Refused: `fee-unknown`.
    """
    missing = [kind for kind in kinds if kind not in prices.fees]
    if missing:
        error = FieldError("/fees", "fee-unknown", f"No fee is kept for {', '.join(missing)}.")
        raise Refused("fee-unknown", "The price book has no such fee.", (error,))


def price_book_of(prices: PriceList, taxes: Taxes, fees: Iterable[ListPrice]) -> PriceBook:
    """Return what documents are priced by: the list's prices with their taxes, and these fees.

    Raises:
        Refused: `tax-rate-missing`.
    """
    decimals = minor_units(settings.CURRENCY)
    minimum = prices.fees.get(FeeKind.MINIMUM)
    return PriceBook(
        decimals=decimals,
        hour=taxes.taxed(prices.hour.amount, prices.hour.tax_category_id),
        parts={
            key: PartPrice(part.name, part.unit, taxes.taxed(part.amount, part.tax_category_id))
            for key, part in prices.parts.items()
        },
        exemption_reasons=taxes.exemption_reasons,
        fees=tuple(_fee(fee, taxes) for fee in fees),
        minimum=_minimum(_fee(minimum, taxes), decimals) if minimum else None,
        tax_rounding=TaxRounding(taxes.table.profile.tax_rounding),
        words=taxes.table.words,
    )


def _fee(fee: ListPrice, taxes: Taxes) -> FeePrice:
    return FeePrice(fee.name, taxes.taxed(fee.amount, fee.tax_category_id))


def _minimum(fee: FeePrice, decimals: int) -> FeePrice:
    """Return the least that a job costs as an amount that a document can come to."""
    return replace(fee, price=replace(fee.price, amount=rounded(fee.price.amount, decimals)))
