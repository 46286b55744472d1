"""What the parts cost that a job used."""

from decimal import Decimal
from typing import Any

from django.db.models import QuerySet
from rest_framework import serializers
from rest_framework.response import Response

from billing.models import Quote
from billing.queries.parts_used import parts_used
from billing.queries.quotes import quotes
from shop.http.amounts import AmountField, QuantityField
from shop.http.permissions import OFFICE, grants
from shop.http.verbs import report
from shop.http.views import ShopViewSet
from shop.models import Unit


class PartUsedOutput(serializers.Serializer[Any]):
    """How much of a part was fitted, in its unit, and what that had cost the shop."""

    part = serializers.CharField(source="part__code")
    name = serializers.CharField(source="part__name")
    unit = serializers.ChoiceField(Unit.choices, source="part__unit")
    quantity = QuantityField(source="used_quantity")
    value = AmountField(source="used_value")


class PartsUsedOutput(serializers.Serializer[Any]):
    """What a job used, and what it cost in all; nothing until the job is complete."""

    items = PartUsedOutput(many=True)
    total_value = AmountField()


class QuotePartsUsedViewSet(ShopViewSet):
    """What the parts cost that a job used, which the office and the owner see."""

    model = Quote
    roles = grants(read=OFFICE)

    def rows(self) -> QuerySet[Quote]:
        """Return the quotes."""
        return quotes()

    @report(gives=PartsUsedOutput, of_one=True)
    def parts_used(self) -> Response:
        """Return the parts with their cost by the moving weighted average (IAS 2)."""
        items = list(parts_used(self.found()))
        total = sum((item["used_value"] for item in items), Decimal(0))
        return Response(self.representation({"items": items, "total_value": total}))
