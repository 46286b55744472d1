"""What the answers about quotes and invoices have in common."""

from decimal import Decimal
from typing import Any

from rest_framework import serializers

from shop.http.amounts import AmountField, AmountInputField, PriceField, QuantityField
from shop.http.serializers import RowSerializer, StrictSerializer

AMOUNTS = (
    *("line_total", "allowance_total", "charge_total", "net_total", "tax_total", "gross_total"),
    *("rounding_amount", "payable_total"),
)
TOTALS = ("currency", *AMOUNTS)


class AmountOrPercentInput(StrictSerializer):
    """Either an amount of money or a percentage."""

    percent = serializers.DecimalField(
        max_digits=6, decimal_places=3, min_value=Decimal("0.001"), max_value=100, required=False
    )
    amount = AmountInputField(min_value=Decimal("0.001"), required=False)

    def validate(self, attrs: Any) -> Any:
        """Return what is given.

        Raises:
            ValidationError: neither or both are.
        """
        if ("percent" in attrs) == ("amount" in attrs):
            raise serializers.ValidationError("Give either percent or amount.", "one-of-two")
        return attrs


class DocumentTotalsOutput(RowSerializer):
    """The totals of a quote or invoice, in the order of EN 16931."""

    line_total = AmountField(help_text="Of all lines (BT-106).")
    allowance_total = AmountField(help_text="Taken off the whole (BT-107).")
    charge_total = AmountField(help_text="Put on the whole (BT-108).")
    net_total = AmountField(help_text="Without tax (BT-109).")
    tax_total = AmountField(help_text="BT-110.")
    gross_total = AmountField(help_text="With tax (BT-112).")
    rounding_amount = AmountField(help_text="Added to come to the payable total (BT-114).")
    payable_total = AmountField()


class DocumentLineOutput(serializers.Serializer[Any]):
    """A line: quantity times unit price, less its discount, is the net amount."""

    position = serializers.IntegerField()
    kind = serializers.CharField()
    description = serializers.CharField()
    quantity = QuantityField()
    unit = serializers.CharField()
    unit_price = PriceField()
    discount_amount = AmountField()
    discount_percent = QuantityField(allow_null=True)
    discount_reason = serializers.CharField()
    net_amount = AmountField()
    tax_code = serializers.CharField(help_text="UNTDID 5305, as EN 16931 uses it.")
    tax_percent = QuantityField()


class DocumentAllowanceOutput(serializers.Serializer[Any]):
    """An allowance or charge on the whole; a percentage is of its base."""

    position = serializers.IntegerField()
    is_charge = serializers.BooleanField()
    reason = serializers.CharField()
    percent = QuantityField(allow_null=True)
    base_amount = AmountField(allow_null=True)
    amount = AmountField()
    tax_code = serializers.CharField()
    tax_percent = QuantityField()


class DocumentTaxOutput(serializers.Serializer[Any]):
    """The tax of one code and rate, found on the sum of its lines."""

    tax_code = serializers.CharField()
    tax_percent = QuantityField()
    exemption_reason = serializers.CharField()
    taxable_amount = AmountField()
    tax_amount = AmountField()
