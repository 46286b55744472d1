"""The lines of a paper that moves stock: a part each, by its code, with a quantity in its unit."""

from decimal import Decimal
from typing import Any, ClassVar

from rest_framework import serializers

from shop.http.serializers import RowField, StrictSerializer, TextField
from shop.models import WHOLE_UNITS, Part, Place

MOST_LINES = 200
LEAST_QUANTITY = Decimal("0.001")


def place_field() -> RowField:
    """Return the field of a place."""
    return RowField(queryset=Place.objects.all())


def quantity_field(least: Decimal = LEAST_QUANTITY) -> serializers.DecimalField:
    """Return the field of a quantity, at least `least`."""
    return serializers.DecimalField(max_digits=11, decimal_places=3, min_value=least)


class StockLineInput(StrictSerializer):
    """A part by its code, and how much of it in its unit: whole pieces and sheets."""

    part = TextField(max_length=60)
    quantity = quantity_field()


class ReceivedLineInput(StockLineInput):
    """The same, with what one unit cost before tax."""

    unit_cost = serializers.DecimalField(max_digits=12, decimal_places=4, min_value=0)


class CountedLineInput(StockLineInput):
    """The same, as counted, which may be nothing."""

    quantity = quantity_field(Decimal(0))


def lines_of(line: type[StockLineInput]) -> serializers.ListSerializer[Any]:
    """Return the field of a paper's lines."""
    return serializers.ListSerializer(child=line(), allow_empty=False, max_length=MOST_LINES)


class StockLinesInput(StrictSerializer):
    """Base of what has lines: the `part` of a checked line is the part itself."""

    default_error_messages: ClassVar = {
        "unknown_part": "There is no part with this code.",
        "named_twice": "This part stands on an earlier line; add the two together.",
        "quantity_not_whole": "This part is counted in whole numbers.",
    }

    def validate_lines(self, lines: list[dict[str, Any]]) -> list[dict[str, Any]]:
        """Return the lines with their parts, all found by one query.

        Raises:
            ValidationError: at each line whose part is unknown, comes twice, or is not divisible.
        """
        parts = Part.objects.in_bulk({line["part"] for line in lines}, field_name="code")
        seen: set[str] = set()
        wrong = []
        for line in lines:
            wrong.append(self._wrong(line, parts.get(line["part"]), seen))
            seen.add(line["part"])
        if any(wrong):
            raise serializers.ValidationError(wrong)
        return [{**line, "part": parts[line["part"]]} for line in lines]

    def _wrong(self, line: dict[str, Any], part: Part | None, seen: set[str]) -> dict[str, Any]:
        if part is None:
            return {"part": self._error("unknown_part")}
        if part.code in seen:
            return {"part": self._error("named_twice")}
        if part.unit in WHOLE_UNITS and line["quantity"] % 1:
            return {"quantity": self._error("quantity_not_whole")}
        return {}

    def _error(self, code: str) -> list[serializers.ErrorDetail]:
        return [serializers.ErrorDetail(str(self.error_messages[code]), code)]


class StockPaperInput(StockLinesInput):
    """Base of papers, which have a reference of the caller's own."""

    reference = TextField(max_length=100, required=False, allow_blank=True, default="")
