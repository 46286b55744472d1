"""What the answers about quotes and invoices have in common."""

from typing import Any

from rest_framework import serializers

from shop.http.amounts import AmountField, PriceField, QuantityField

TOTALS = ("currency", "net_total", "tax_total", "gross_total")


class DocumentLineOutput(serializers.Serializer[Any]):
    """A line: quantity times unit price, less its discount, is the net amount."""

    position = serializers.IntegerField()
    kind = serializers.CharField()
    description = serializers.CharField()
    quantity = QuantityField()
    unit = serializers.CharField()
    unit_price = PriceField()
    discount_amount = AmountField()
    net_amount = AmountField()
    tax_code = serializers.CharField(help_text="UNTDID 5305, as EN 16931 uses it.")
    tax_percent = QuantityField()


class DocumentTaxOutput(serializers.Serializer[Any]):
    """The tax of one code and rate, found on the sum of its lines."""

    tax_code = serializers.CharField()
    tax_percent = QuantityField()
    exemption_reason = serializers.CharField()
    taxable_amount = AmountField()
    tax_amount = AmountField()
