"""What stock was worth at any moment, and what became of it in any period."""

from datetime import UTC, datetime, time, timedelta
from decimal import Decimal
from itertools import groupby
from typing import Any

from django.utils import timezone
from rest_framework import serializers
from rest_framework.response import Response

from shop.http.amounts import AmountField, PriceField, QuantityField
from shop.http.reports import OfficeReport
from shop.http.serializers import InstantField, StrictSerializer
from shop.http.views import Values
from shop.models import Unit
from shop.queries.holdings import parts_held_at
from shop.queries.stock_accounts import PartAccount, stock_accounts
from shop.rules.stock_accounts import added_up


def end_of_today() -> datetime:
    """Return the midnight to come, in UTC, so that an answer asked for twice is the same."""
    return datetime.combine(timezone.now() + timedelta(days=1), time.min, UTC)


class StockValueQuery(StrictSerializer):
    """The moment; the end of today (UTC) when left out."""

    at = InstantField(required=False)


class StockAccountQuery(StrictSerializer):
    """The period; what is left out is the end of today and the beginning of the end's year (UTC).

    A move at the very moment `opened_at` belongs to what the period began with.
    """

    opened_at = InstantField(required=False)
    closed_at = InstantField(required=False)

    def validate(self, values: Values) -> Values:
        """Return both ends.

        Raises:
            ValidationError: the end comes before the beginning.
        """
        closed_at = values.get("closed_at", end_of_today())
        opened_at = values.get("opened_at", datetime(closed_at.year, 1, 1, tzinfo=UTC))
        if closed_at < opened_at:
            sentence = "The period ends before it begins."
            raise serializers.ValidationError(
                {"closed_at": serializers.ErrorDetail(sentence, "period-backwards")}
            )
        return {"opened_at": opened_at, "closed_at": closed_at}


class HeldPartOutput(serializers.Serializer[Any]):
    """A part, how much of it was held in its unit, and what that cost, in all and each."""

    part = serializers.CharField(source="code")
    name = serializers.CharField()
    unit = serializers.ChoiceField(Unit.choices)
    quantity = QuantityField(source="held_quantity")
    value = AmountField(source="held_value")
    average_cost = serializers.SerializerMethodField()

    def get_average_cost(self, part: Any) -> str:
        """Return what one unit cost by the moving weighted average."""
        average = round(part.held_value / part.held_quantity, 4)
        return PriceField().to_representation(average)


class StockValueOutput(serializers.Serializer[Any]):
    """What was held at a moment, by part, and its value in all."""

    at = InstantField()
    items = HeldPartOutput(many=True)
    total_value = AmountField()


class AccountedPartOutput(serializers.Serializer[Any]):
    """A part and its unit."""

    part = serializers.CharField(source="part.code")
    name = serializers.CharField(source="part.name")
    unit = serializers.ChoiceField(Unit.choices, source="part.unit")


class AccountQuantitiesOutput(serializers.Serializer[Any]):
    """Quantities; opening + received - returned - used - scrapped + counted = closing."""

    opening_quantity = QuantityField(source="account.opening.quantity")
    received_quantity = QuantityField(source="account.received.quantity")
    returned_quantity = QuantityField(source="account.returned.quantity")
    used_quantity = QuantityField(source="account.used.quantity")
    scrapped_quantity = QuantityField(source="account.scrapped.quantity")
    counted_quantity = QuantityField(source="account.counted.quantity")
    closing_quantity = QuantityField(source="account.closing.quantity")


class AccountValuesOutput(serializers.Serializer[Any]):
    """Money at cost; opening + received - returned - used - scrapped + counted = closing."""

    opening_value = AmountField(source="account.opening.value")
    received_value = AmountField(source="account.received.value")
    returned_value = AmountField(source="account.returned.value")
    used_value = AmountField(source="account.used.value")
    scrapped_value = AmountField(source="account.scrapped.value")
    counted_value = AmountField(source="account.counted.value")
    closing_value = AmountField(source="account.closing.value")


class PartAccountOutput(AccountedPartOutput, AccountQuantitiesOutput, AccountValuesOutput):
    """What became of a part in its unit, and of the money in it, at cost.

    Opening + received - returned - used - scrapped + counted = closing. `counted` is what counts
    found beyond the books, less what they missed.
    """


class UnitName(serializers.Serializer[Any]):
    """A unit."""

    unit = serializers.ChoiceField(Unit.choices)


class UnitAccountOutput(UnitName, AccountQuantitiesOutput, AccountValuesOutput):
    """The same over all parts counted in one unit."""


class StockAccountOutput(serializers.Serializer[Any]):
    """What became of stock in a period: by part, by unit, and the money in all."""

    opened_at = InstantField()
    closed_at = InstantField()
    items = PartAccountOutput(many=True)
    unit_totals = UnitAccountOutput(many=True)
    total = AccountValuesOutput()


class StockValueViewSet(OfficeReport):
    """What was held at a moment and what that was worth, by the moving weighted average (IAS 2)."""

    query = StockValueQuery
    output = StockValueOutput

    def stock_value(self) -> Response:
        """Return the parts that were held, as JSON or as a sheet."""
        at = self.checked_query().get("at", end_of_today())
        parts: Any = parts_held_at(at)
        held = list(parts.exclude(held_quantity=0))
        total = sum((part.held_value for part in held), Decimal(0))
        return Response(self.representation({"at": at, "items": held, "total_value": total}))


class StockAccountViewSet(OfficeReport):
    """What became of stock in a period, so that it ties out in quantity and in money."""

    query = StockAccountQuery
    output = StockAccountOutput

    def stock_account(self) -> Response:
        """Return the account, as JSON or as a sheet."""
        period = self.checked_query()
        rows = stock_accounts(**period)
        total = {"account": added_up(row.account for row in rows)}
        shown = {"items": rows, "unit_totals": unit_totals(rows), "total": total}
        return Response(self.representation({**period, **shown}))


def unit_totals(rows: list[PartAccount]) -> list[Values]:
    """Return the account of all parts that are counted in the same unit, for each unit."""

    def unit(row: PartAccount) -> str:
        return str(row.part.unit)

    groups = groupby(sorted(rows, key=unit), key=unit)
    return [{"unit": name, "account": added_up(row.account for row in of)} for name, of in groups]
