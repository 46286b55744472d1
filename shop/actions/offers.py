"""What suppliers offer, with its pack turned into stock units."""

from collections.abc import Mapping, Sequence
from typing import Any

from django.db import transaction

from shop.actions.order_lines import pack_of, stock_unit_of
from shop.actions.records import record_delete
from shop.errors import FieldError, Refused
from shop.models import PriceBreak, SupplierOffer
from shop.rules.order_quantity import PriceFrom
from shop.rules.units import NotConvertible, pack_contents


@transaction.atomic
def offer_create(*, values: Mapping[str, Any], prices: Sequence[PriceFrom]) -> SupplierOffer:
    """Return a new offer with its prices.

    Raises:
        Refused: `pack-not-convertible`.
        IntegrityError: a price is given twice, or the supplier has an offer of this pack.
    """
    offer = SupplierOffer(**values)
    _convert(offer)
    offer.save(force_insert=True)
    _set_prices(offer, prices)
    return offer


@transaction.atomic
def offer_change(
    *, offer: SupplierOffer, changes: Mapping[str, Any], prices: Sequence[PriceFrom] | None = None
) -> SupplierOffer:
    """Give an offer new values, and new prices in place of the old, and return it.

    Raises:
        Refused: `pack-not-convertible`.
        IntegrityError: a price is given twice, or the supplier has an offer of this pack.
    """
    for name, value in changes.items():
        setattr(offer, name, value)
    _convert(offer)
    offer.save(force_update=True)
    if prices is not None:
        offer.price_breaks.all().delete()
        _set_prices(offer, prices)
    return offer


@transaction.atomic
def offer_delete(*, offer: SupplierOffer) -> None:
    """Delete an offer; orders that were made of it keep what they say."""
    record_delete(record=offer)


def _convert(offer: SupplierOffer) -> None:
    try:
        contents = pack_contents(pack_of(offer), stock_unit_of(offer.part))
    except NotConvertible as error:
        sentence = str(error)
        raise Refused(
            "pack-not-convertible",
            sentence,
            (FieldError(f"/{error.member}", "pack-not-convertible", sentence),),
        ) from error
    offer.contents_numerator, offer.contents_denominator = contents.as_integer_ratio()


def _set_prices(offer: SupplierOffer, prices: Sequence[PriceFrom]) -> None:
    PriceBreak.objects.bulk_create(
        PriceBreak(offer=offer, from_packs=each.from_packs, price=each.price) for each in prices
    )
