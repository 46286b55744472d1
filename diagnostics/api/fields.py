"""Fields that several serializers of this app share."""

from math import floor, log10
from typing import Any

from rest_framework import serializers
from rest_framework.fields import empty

from shop.http.serializers import TextField
from shop.http.traced import ChanceField, FormulaOutput, RoundedField

__all__ = [
    "ChanceField",
    "CodeRelatedField",
    "FormulaOutput",
    "OptionalTextField",
    "RoundedField",
    "SmallChanceField",
    "code_field",
    "comment_field",
]


class CodeRelatedField(serializers.SlugRelatedField[Any]):
    """The code of a related row, in an answer."""

    def __init__(self, **options: Any) -> None:
        options = {"slug_field": "code", "read_only": True, **options}
        super().__init__(**options)


class OptionalTextField(TextField):
    """Text in a request that may be left out, empty or null, which all give ""."""

    def __init__(self, **options: Any) -> None:
        super().__init__(default="", allow_blank=True, allow_null=True, **options)

    def run_validation(self, data: Any = empty) -> Any:
        """Return the text, "" for null."""
        return super().run_validation(data) or ""


def code_field() -> OptionalTextField:
    """Return the field of a catalogue row's code that may be left open."""
    return OptionalTextField(max_length=60)


def comment_field() -> OptionalTextField:
    """Return the field of a comment."""
    return OptionalTextField(max_length=2000, multiline=True)


class SmallChanceField(ChanceField):
    """A probability from 0 to 1, to three significant digits, however small."""

    def to_representation(self, value: Any) -> Any:
        """Return the number, rounded."""
        decimals = 2 - floor(log10(value)) if value else 0
        return serializers.FloatField.to_representation(self, round(value, decimals))
