"""What the shop buys, keeps and fits."""

from decimal import Decimal
from typing import Any

import django_filters
from django.db.models import Q, QuerySet
from django.utils import timezone
from rest_framework import serializers

from shop.actions.part_prices import part_change
from shop.api.costs import CostsForOffice
from shop.api.plain_records import CODE, NamedByCode, PlainRecordViewSet
from shop.http.amounts import AmountField, PriceField, QuantityField
from shop.http.filters import IdFilter, Order, TrueFalseFilter
from shop.http.permissions import EVERYONE, OFFICE, grants
from shop.http.serializers import RowField, RowSerializer, StrictSerializer, TextField
from shop.http.views import Values
from shop.models import SERVICE_LEVELS, Part, PartCategory, SizeScheme, Supplier, TaxCategory, Unit
from shop.queries.parts import parts_with_stock

LEAST_QUANTITY = Decimal("0.001")
LONGEST_LEAD_TIME_DAYS = 730
LARGEST_UM = 10_000_000


def measure_um() -> serializers.IntegerField:
    """Return the field of a measure in micrometres that some categories have."""
    return serializers.IntegerField(
        min_value=1, max_value=LARGEST_UM, required=False, allow_null=True
    )


def unit_price() -> serializers.DecimalField:
    """Return the field of an amount for one unit, in the shop's currency."""
    return serializers.DecimalField(max_digits=14, decimal_places=4, min_value=0)


def service_level(**options: Any) -> serializers.DecimalField:
    """Return the field of the share of lead times, in percent, in which stock should last."""
    least, most = SERVICE_LEVELS
    return serializers.DecimalField(
        max_digits=4, decimal_places=2, min_value=least, max_value=most, **options
    )


class PartChangeInput(StrictSerializer):
    """A part, counted in `unit`; its category decides which measures it must have.

    A centre pin has a size scheme, a size and a diameter; a key punching a thickness and an outer
    diameter; bushing cloth a thickness and a strip width.
    """

    name = TextField(max_length=200)
    category = serializers.ChoiceField(choices=PartCategory.choices)
    unit = serializers.ChoiceField(choices=Unit.choices, required=False)
    pack_quantity = serializers.DecimalField(
        max_digits=12, decimal_places=3, min_value=LEAST_QUANTITY, required=False
    )
    size_scheme = serializers.ChoiceField(
        choices=SizeScheme.choices, required=False, allow_blank=True
    )
    size_label = TextField(max_length=10, required=False, allow_blank=True)
    diameter_um = measure_um()
    thickness_um = measure_um()
    outer_diameter_um = measure_um()
    strip_width_mm = serializers.DecimalField(
        max_digits=7,
        decimal_places=2,
        min_value=Decimal("0.01"),
        required=False,
        allow_null=True,
    )
    price = unit_price()
    cost = unit_price()
    tax_category = serializers.SlugRelatedField(
        slug_field="code", queryset=TaxCategory.objects.all()
    )
    supplier = RowField(queryset=Supplier.objects.all(), required=False, allow_null=True)
    supplier_part_number = TextField(max_length=100, required=False, allow_blank=True)
    lead_time_days = serializers.IntegerField(
        min_value=0, max_value=LONGEST_LEAD_TIME_DAYS, required=False
    )
    service_level_percent = service_level(required=False, allow_null=True)
    is_active = serializers.BooleanField(required=False)


class PartCreateInput(PartChangeInput):
    """A new part; its code stays."""

    code = serializers.RegexField(CODE, max_length=60)


class PartOutput(RowSerializer):
    """A part, and what there is of it on shelves and in vans, and in job bags."""

    pack_quantity = QuantityField()
    size_scheme = serializers.ChoiceField(SizeScheme.choices, allow_blank=True, read_only=True)
    price = PriceField(source="price_in_force")
    tax_category = serializers.CharField(source="tax_category.code")
    on_hand = QuantityField()
    in_bags = QuantityField()

    class Meta:
        model = Part
        fields: tuple[str, ...] = (
            *("id", "code", "name", "category", "unit", "pack_quantity"),
            *("size_scheme", "size_label", "diameter_um"),
            *("thickness_um", "outer_diameter_um", "strip_width_mm"),
            *("price", "tax_category", "supplier", "supplier_part_number", "lead_time_days"),
            *("service_level_percent", "is_active", "provenance", "source", "on_hand", "in_bags"),
        )


class AverageCostField(PriceField):
    """What a unit of a holding cost on average, null when nothing is held."""

    def to_representation(self, value: Any) -> Any:
        """Return the average as text, or None."""
        if not value.quantity:
            return None
        return super().to_representation(round(value.value / value.quantity, 4))


class PartCostedOutput(PartOutput):
    """A part with its expected cost, the value of what is held, and what a unit of it cost.

    The office and the owner alone see these three.
    """

    cost = PriceField(required=False)
    held_value = AmountField(source="holding.value", required=False)
    average_cost = AverageCostField(source="holding", required=False, allow_null=True)

    class Meta(PartOutput.Meta):
        fields = (*PartOutput.Meta.fields, "cost", "held_value", "average_cost")


class PartFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By words of the code or name, category, supplier, and whether the part is still bought."""

    search = django_filters.CharFilter(method="matching", max_length=100)
    category = django_filters.ChoiceFilter(choices=PartCategory.choices)
    supplier = IdFilter()
    is_active = TrueFalseFilter()
    order = Order(fields=["code", "name", "id"])

    class Meta:
        model = Part
        fields = ()

    def matching(self, rows: QuerySet[Part], _: str, text: str) -> QuerySet[Part]:
        """Return the parts whose code or name holds `text`."""
        return rows.filter(Q(code__icontains=text) | Q(name__icontains=text))


class PartViewSet(NamedByCode, CostsForOffice, PlainRecordViewSet):
    """What the shop buys, keeps and fits, by code."""

    model = Part
    roles = grants(read=EVERYONE, write=OFFICE)
    filterset_class = PartFilter
    create_input = PartCreateInput
    change_input = PartChangeInput
    output = PartOutput
    costed_output = PartCostedOutput

    def rows(self) -> QuerySet[Part]:
        """Return the parts."""
        return parts_with_stock(timezone.localdate())

    def change(self, row: Part, values: Values) -> Part:
        """Change a part; a new price holds from today on."""
        return part_change(part=row, changes=values, day=timezone.localdate())
