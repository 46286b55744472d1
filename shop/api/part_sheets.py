"""Parts as a sheet."""

from typing import Any

from django.utils import timezone
from rest_framework import serializers

from shop.actions.part_sheets import part_sheet_apply
from shop.actions.sheets import RowOutcome, Sheet
from shop.api.parts import PartCreateInput
from shop.api.sheets import SheetOutput, SheetViewSet
from shop.http.amounts import CurrencyField, PriceField, QuantityField
from shop.http.serializers import TextField
from shop.models import Part
from shop.queries.sheets import Columns, part_rows

# A body, for the description of the API; a test posts it.
PART_SHEET = """\
code,name,category,unit,price,cost,tax_category,supplier,lead_time_days
damper-felt-wedge,Damper felt wedges,felt_and_leather,metre,9.50,4.2055,goods,,14
hammer-shank,"Hammer shank, 5.6 mm",action_part,piece,3.20,1.45,goods,,
"""


class PartSheetRowInput(PartCreateInput):
    """A part by its code; columns that the sheet does not have stay as they are.

    `tax_category` is a code and `supplier` a name, of which both must be known. A new part needs
    name, category, price, cost and tax category.
    """

    currency = CurrencyField()

    def get_fields(self) -> dict[str, serializers.Field[Any, Any, Any, Any]]:
        """Return the columns, of which the code alone must be there."""
        fields = super().get_fields()
        fields["tax_category"] = TextField(max_length=60)
        fields["supplier"] = TextField(max_length=200, allow_null=True)
        for name, field in fields.items():
            field.required = name == "code"
        return {"code": fields.pop("code"), **fields}


class PartSheetRowOutput(serializers.Serializer[Any]):
    """A part, with the columns that a sheet of parts has."""

    code = serializers.CharField()
    name = serializers.CharField()
    category = serializers.CharField()
    unit = serializers.CharField()
    pack_quantity = QuantityField()
    size_scheme = serializers.CharField(allow_blank=True)
    size_label = serializers.CharField(allow_blank=True)
    diameter_um = serializers.IntegerField(allow_null=True)
    thickness_um = serializers.IntegerField(allow_null=True)
    outer_diameter_um = serializers.IntegerField(allow_null=True)
    strip_width_mm = QuantityField(allow_null=True)
    price = PriceField()
    cost = PriceField()
    currency = serializers.CharField()
    tax_category = serializers.CharField()
    supplier = serializers.CharField(allow_null=True)
    supplier_part_number = serializers.CharField(allow_blank=True)
    lead_time_days = serializers.IntegerField()
    service_level_percent = QuantityField(allow_null=True)
    is_active = serializers.BooleanField()


class PartSheetOutput(SheetOutput):
    """Every part, by code."""

    items = PartSheetRowOutput(many=True)


class PartSheetViewSet(SheetViewSet):
    """Parts as a sheet."""

    model = Part
    takes_row = PartSheetRowInput
    gives_rows = PartSheetOutput
    sheet_example = PART_SHEET

    def stored(self) -> list[Columns]:
        """Return every part."""
        return part_rows(timezone.localdate())

    def apply(self, sheet: Sheet) -> list[RowOutcome]:
        """Make and change parts; a new price holds from today on."""
        return part_sheet_apply(sheet=sheet, day=timezone.localdate())
