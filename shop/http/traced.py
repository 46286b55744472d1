"""How chances are written in answers, and by what a number was found."""

from typing import Any

from rest_framework import serializers


class RoundedField(serializers.FloatField):
    """A number that was computed, to so many decimals as it deserves."""

    def __init__(self, decimals: int, **options: Any) -> None:
        super().__init__(read_only=True, **options)
        self.decimals = decimals

    def to_representation(self, value: Any) -> Any:
        """Return the number, rounded."""
        return super().to_representation(round(value, self.decimals))


class ChanceField(RoundedField):
    """A probability from 0 to 1, to four decimals."""

    def __init__(self, **options: Any) -> None:
        super().__init__(4, min_value=0, max_value=1, **options)


class FormulaOutput(serializers.Serializer[Any]):
    """By what a number was found, and where that is published."""

    name = serializers.CharField()
    source = serializers.CharField()  # type: ignore[assignment]
