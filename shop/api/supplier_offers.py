"""What suppliers offer: their packs of a part and what these cost."""

from decimal import Decimal
from typing import Any

import django_filters
from django.conf import settings
from django.db.models import QuerySet
from rest_framework import serializers

from shop.actions.offers import offer_change, offer_create, offer_delete
from shop.actions.order_lines import contents_of, pack_of, stock_unit_of
from shop.api.lead_times import ObservedLeadTimeOutput
from shop.http.amounts import CurrencyField, PriceField, QuantityField
from shop.http.filters import IdFilter, Order
from shop.http.permissions import OFFICE, grants
from shop.http.records import Changed, Created, Deleted, Listed, Retrieved
from shop.http.serializers import RowField, RowSerializer, StrictSerializer, TextField
from shop.http.views import Values
from shop.models import Part, Supplier, SupplierOffer
from shop.models.suppliers import LONGEST_LEAD_TIME_DAYS
from shop.queries.purchasing import offers
from shop.rules.order_quantity import PriceFrom
from shop.rules.quantities import plain
from shop.rules.units import UNITS, WEIGHTS, offcut_mm, pack_text, split

MOST_PACKS = 1_000_000
MOST_BREAKS = 20
WEIGHT_CHOICES = [(name, UNITS[name].label) for name in WEIGHTS]


class PriceBreakInput(StrictSerializer):
    """What one pack costs whoever buys at least `from_packs`."""

    from_packs = serializers.IntegerField(min_value=1, max_value=MOST_PACKS)
    price = serializers.DecimalField(max_digits=14, decimal_places=4, min_value=0)


def price_breaks() -> serializers.ListSerializer[Any]:
    """Return the field of an offer's prices; the first says from how many packs it is sold."""
    return serializers.ListSerializer(
        child=PriceBreakInput(), allow_empty=False, max_length=MOST_BREAKS
    )


class SupplierOfferChangeInput(StrictSerializer):
    """A pack, with its prices in the shop's currency before tax.

    `pack_amount` of `pack_unit` has to turn into the unit that the part is counted in. Of cloth it
    is the length, and `width_mm` the width of the strip or sheet. Small parts sold by weight have
    `pieces_per_weight`, the count that one `weight_unit` holds.
    """

    supplier_part_number = TextField(max_length=100, required=False, allow_blank=True)
    pack_amount = serializers.DecimalField(
        max_digits=12, decimal_places=4, min_value=Decimal("0.0001")
    )
    pack_unit = serializers.ChoiceField([(name, unit.label) for name, unit in UNITS.items()])
    width_mm = serializers.DecimalField(
        max_digits=9,
        decimal_places=3,
        min_value=Decimal("0.001"),
        required=False,
        allow_null=True,
    )
    pieces_per_weight = serializers.DecimalField(
        max_digits=12,
        decimal_places=3,
        min_value=Decimal("0.001"),
        required=False,
        allow_null=True,
    )
    weight_unit = serializers.ChoiceField(WEIGHT_CHOICES, required=False, allow_blank=True)
    lead_time_days = serializers.IntegerField(
        min_value=0, max_value=LONGEST_LEAD_TIME_DAYS, required=False, allow_null=True
    )
    currency = CurrencyField()
    price_breaks = price_breaks()


class SupplierOfferCreateInput(SupplierOfferChangeInput):
    """A supplier's pack of a part; whose and of what stays."""

    supplier = RowField(queryset=Supplier.objects.all())
    part = serializers.SlugRelatedField(slug_field="code", queryset=Part.objects.all())


class PriceBreakOutput(serializers.Serializer[Any]):
    """What one pack costs whoever buys at least `from_packs`."""

    from_packs = serializers.IntegerField()
    price = PriceField()


class SupplierOfferOutput(RowSerializer):
    """A supplier's pack of a part, with its prices and lead times.

    `units_per_pack` is in the part's unit, in whole steps of it; `units_per_pack_exact` is the
    whole of it, as a fraction. Of a sheet that is cut into strips `offcut_width_mm` is left.
    `lead_time_days` is what the supplier states, for this offer or for all.
    """

    supplier_name = serializers.CharField(source="supplier.name")
    part = serializers.CharField(source="part.code")
    unit = serializers.CharField(source="part.unit")
    pack = serializers.SerializerMethodField(help_text="The pack in words, as orders name it.")
    pack_amount = QuantityField()
    width_mm = QuantityField(allow_null=True)
    pieces_per_weight = QuantityField(allow_null=True)
    weight_unit = serializers.ChoiceField(WEIGHT_CHOICES, allow_blank=True, read_only=True)
    units_per_pack = serializers.SerializerMethodField()
    units_per_pack_exact = serializers.SerializerMethodField()
    offcut_width_mm = serializers.SerializerMethodField()
    lead_time_days = serializers.SerializerMethodField()
    observed_lead_time = ObservedLeadTimeOutput(source="*")
    currency = serializers.SerializerMethodField()
    price_breaks = PriceBreakOutput(many=True)

    class Meta:
        model = SupplierOffer
        fields = (
            *("id", "supplier", "supplier_name", "part", "unit", "supplier_part_number"),
            *("pack", "pack_amount", "pack_unit", "width_mm", "pieces_per_weight"),
            *("weight_unit", "units_per_pack", "units_per_pack_exact", "offcut_width_mm"),
            *("lead_time_days", "observed_lead_time", "currency", "price_breaks"),
        )

    def get_pack(self, offer: SupplierOffer) -> str:
        """Return the pack in words."""
        return pack_text(pack_of(offer))

    def get_units_per_pack(self, offer: SupplierOffer) -> str:
        """Return the whole steps of the part's unit in a pack."""
        return plain(split(contents_of(offer), stock_unit_of(offer.part).step).quantity)

    def get_units_per_pack_exact(self, offer: SupplierOffer) -> str:
        """Return the contents as a fraction."""
        return str(contents_of(offer))

    def get_offcut_width_mm(self, offer: SupplierOffer) -> str | None:
        """Return what is left of a sheet's width."""
        offcut = offcut_mm(pack_of(offer), stock_unit_of(offer.part))
        return None if offcut is None else plain(offcut)

    def get_lead_time_days(self, offer: SupplierOffer) -> int:
        """Return the days that the supplier states."""
        stated = offer.lead_time_days
        return offer.supplier.lead_time_days if stated is None else stated

    def get_currency(self, _: SupplierOffer) -> str:
        """Return the currency of the prices."""
        return str(settings.CURRENCY)


class SupplierOfferFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By supplier, part, and the supplier's own number."""

    supplier = IdFilter()
    part = django_filters.CharFilter(field_name="part__code", max_length=60)
    supplier_part_number = django_filters.CharFilter(max_length=100)
    order = Order(fields=["id"])

    class Meta:
        model = SupplierOffer
        fields = ()


class SupplierOfferViewSet(Listed, Retrieved, Created, Changed, Deleted):
    """Suppliers' packs of parts, with their prices, which the office and the owner see."""

    model = SupplierOffer
    roles = grants(read=OFFICE, write=OFFICE)
    filterset_class = SupplierOfferFilter
    create_input = SupplierOfferCreateInput
    change_input = SupplierOfferChangeInput
    output = SupplierOfferOutput

    def rows(self) -> QuerySet[SupplierOffer]:
        """Return the offers."""
        return offers()

    def add(self, values: Values) -> SupplierOffer:
        """Add an offer."""
        columns, prices = split_prices(values)
        return offer_create(values=columns, prices=prices or [])

    def change(self, row: SupplierOffer, values: Values) -> SupplierOffer:
        """Change an offer; prices that are sent replace those that there are."""
        columns, prices = split_prices(values)
        return offer_change(offer=row, changes=columns, prices=prices)

    def remove(self, row: SupplierOffer) -> None:
        """Remove an offer."""
        offer_delete(offer=row)


def split_prices(values: Values) -> tuple[Values, list[PriceFrom] | None]:
    """Return the columns of an offer, and its prices when they were sent."""
    columns = {k: v for k, v in values.items() if k not in {"currency", "price_breaks"}}
    sent = values.get("price_breaks")
    return columns, None if sent is None else [PriceFrom(**each) for each in sent]
