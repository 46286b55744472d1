"""Suppliers' lists as a sheet."""

import re
from typing import Any, ClassVar

from rest_framework import serializers

from shop.actions.offer_sheets import offer_sheet_apply
from shop.actions.sheets import RowOutcome, Sheet
from shop.api.sheets import SheetOutput, SheetViewSet
from shop.api.supplier_offers import (
    MOST_BREAKS,
    PriceBreakInput,
    SupplierOfferChangeInput,
)
from shop.http.amounts import PriceField, QuantityField
from shop.http.field_errors import field_errors
from shop.http.serializers import TextField
from shop.models import SupplierOffer
from shop.queries.sheets import Columns, offer_rows
from shop.rules.order_quantity import PriceFrom

# A body, for the description of the API; a test posts it.
OFFER_SHEET = """\
supplier,part,supplier_part_number,pack_amount,pack_unit,currency,price_breaks
Felt and Wire Cooperative,hammer-shank,FW-5600,1,hundred,EUR,95.00; 88.50 from 5; 81.255 from 20
Felt and Wire Cooperative,hammer-shank,FW-5601,1,dozen,EUR,13.20
"""

PRICE_FROM = re.compile(r"(?P<price>[^ ]+)(?: from (?P<from_packs>\d{1,9}))?", re.ASCII)


class PriceBreaksField(TextField):
    """What a pack costs by how many are bought: `95.00; 88.50 from 5`."""

    default_error_messages: ClassVar = {
        "not_prices": "Write a price, and from how many packs on others hold: 95.00; 88.50 from 5.",
        "too_many_prices": "An offer has at most {most} prices.",
        "price_given_twice": "Two prices hold from {from_packs} packs on.",
    }

    def to_internal_value(self, data: Any) -> Any:
        """Return the prices, by how many packs are bought.

        Raises:
            ValidationError: a text is no price, or two hold from as many packs on.
        """
        prices: dict[int, PriceFrom] = {}
        texts = super().to_internal_value(data).split(";")
        if len(texts) > MOST_BREAKS:
            self.fail("too_many_prices", most=MOST_BREAKS)
        for text in texts:
            price = self._price(text.strip())
            if price.from_packs in prices:
                self.fail("price_given_twice", from_packs=price.from_packs)
            prices[price.from_packs] = price
        return tuple(prices[from_packs] for from_packs in sorted(prices))

    def to_representation(self, value: Any) -> str:
        """Return the prices as text."""
        written = PriceField()
        return "; ".join(
            written.to_representation(each.price)
            + (f" from {each.from_packs}" if each.from_packs > 1 else "")
            for each in value
        )

    def _price(self, text: str) -> PriceFrom:
        found = PRICE_FROM.fullmatch(text)
        if not found:
            self.fail("not_prices")
        values = {"price": found["price"], "from_packs": found["from_packs"] or "1"}
        try:
            return PriceFrom(**PriceBreakInput().run_validation(values))
        except serializers.ValidationError as error:
            sentences = " ".join(each.detail for each in field_errors(error.detail))
            raise serializers.ValidationError(f"{text}: {sentences}") from error


class OfferSheetRowInput(SupplierOfferChangeInput):
    """A supplier's pack of a part, known by what it holds; supplier by name, part by code.

    `pack_amount` of `pack_unit` has to turn into the unit that the part is counted in; see
    `/supplier-offers` for cloth and for what is sold by weight. `price_breaks` are the prices
    before tax with from how many packs on each holds; a new offer needs them. Columns that the
    sheet does not have stay as they are, but for those of the pack.
    """

    supplier = TextField(max_length=200)
    part = TextField(max_length=60)

    def get_fields(self) -> dict[str, serializers.Field[Any, Any, Any, Any]]:
        """Return the columns, with the prices as text."""
        fields = super().get_fields()
        fields["price_breaks"] = PriceBreaksField(max_length=1000, required=False)
        return {name: fields.pop(name) for name in ("supplier", "part")} | fields


class OfferSheetRowOutput(serializers.Serializer[Any]):
    """An offer, with the columns that a sheet of offers has."""

    supplier = serializers.CharField()
    part = serializers.CharField()
    supplier_part_number = serializers.CharField(allow_blank=True)
    pack_amount = QuantityField()
    pack_unit = serializers.CharField()
    width_mm = QuantityField(allow_null=True)
    pieces_per_weight = QuantityField(allow_null=True)
    weight_unit = serializers.CharField(allow_blank=True)
    lead_time_days = serializers.IntegerField(allow_null=True)
    currency = serializers.CharField()
    price_breaks = PriceBreaksField()


class OfferSheetOutput(SheetOutput):
    """Every offer, by supplier and part."""

    items = OfferSheetRowOutput(many=True)


class OfferSheetViewSet(SheetViewSet):
    """Suppliers' lists as a sheet."""

    model = SupplierOffer
    takes_row = OfferSheetRowInput
    gives_rows = OfferSheetOutput
    sheet_example = OFFER_SHEET

    def stored(self) -> list[Columns]:
        """Return every offer."""
        return offer_rows()

    def apply(self, sheet: Sheet) -> list[RowOutcome]:
        """Make and change offers."""
        return offer_sheet_apply(sheet=sheet)
