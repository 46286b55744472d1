"""Bases of the serializers: inputs that refuse what they do not know, outputs of rows."""

import datetime as dt
import unicodedata
from collections.abc import Mapping
from typing import Any, ClassVar

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from rest_framework import serializers

from shop.http.parsers import BIGGEST


class StrictSerializer(serializers.Serializer[Any]):
    """Base of every input: a member that it does not name is an error, not passed over.

    Whole numbers without a bound of their own stay within 64 bits, and days so far from the ends of
    the calendar that there is a year to reckon with on either side.
    """

    def get_fields(self) -> dict[str, serializers.Field[Any, Any, Any, Any]]:
        """Return the declared fields, with whole numbers and days kept within bounds."""
        fields = super().get_fields()
        for field in fields.values():
            if isinstance(field, serializers.IntegerField):
                _bound(field)
            if isinstance(field, serializers.DateField):
                field.validators.append(_refuse_the_ends_of_the_calendar)
        return fields

    def to_internal_value(self, data: Any) -> Any:
        """Return the validated values.

        Raises:
            ValidationError: with the unknown members beside whatever else is wrong.
        """
        unknown = self._unknown_members(data)
        try:
            values = super().to_internal_value(data)
        except serializers.ValidationError as error:
            known = error.detail if isinstance(error.detail, dict) else {}
            raise serializers.ValidationError({**known, **unknown}) from error
        if unknown:
            raise serializers.ValidationError(unknown)
        return values

    def _unknown_members(self, data: Any) -> dict[str, Any]:
        if not isinstance(data, Mapping):
            return {}
        names = [name for name, field in self.fields.items() if not field.read_only]
        known = ", ".join(names) or "none"
        return {
            name: serializers.ErrorDetail(
                f"There is no such member here; known: {known}.", "unknown-member"
            )
            for name in data
            if name not in names
        }


class NoInput(StrictSerializer):
    """The input of a verb that needs no values: an empty object, or no body at all."""


def _refuse_the_ends_of_the_calendar(day: dt.date) -> None:
    if day.year in {dt.MINYEAR, dt.MAXYEAR}:
        raise serializers.ValidationError("This day is too far away.", "overflow")


def _bound(field: serializers.IntegerField) -> None:
    if field.max_value is None:
        field.validators.append(MaxValueValidator(BIGGEST))
    if field.min_value is None:
        field.validators.append(MinValueValidator(-BIGGEST))


class TextField(serializers.CharField):
    """Text of one line, or of several when `multiline`; not a number, no control characters."""

    default_error_messages: ClassVar = {
        "control": "Text cannot hold control characters.",
        "control_or_line": "This is text of one line, without control characters.",
    }

    def __init__(self, *, multiline: bool = False, **options: Any) -> None:
        super().__init__(**options)
        self.allowed_controls = "\n\r\t" if multiline else ""

    def to_internal_value(self, data: Any) -> str:
        """Return the text, trimmed.

        Raises:
            ValidationError: it is not text, or holds what it may not.
        """
        if not isinstance(data, str):
            self.fail("invalid")
        text = super().to_internal_value(data)
        if any(self._is_control(character) for character in text):
            self.fail("control" if self.allowed_controls else "control_or_line")
        return text

    def _is_control(self, character: str) -> bool:
        return unicodedata.category(character) == "Cc" and character not in self.allowed_controls


class InstantField(serializers.DateTimeField):
    """An instant (RFC 3339): an offset is required of what comes in; what goes out is UTC."""

    default_error_messages: ClassVar = {
        "no_offset": "Say which time zone: end the time with Z or an offset such as +02:00."
    }

    def __init__(self, **options: Any) -> None:
        super().__init__(default_timezone=dt.UTC, **options)

    def to_internal_value(self, value: Any) -> Any:
        """Return the instant in UTC; "t" and "z" may be small letters (RFC 3339 section 5.6)."""
        return super().to_internal_value(value.upper() if isinstance(value, str) else value)

    def enforce_timezone(self, value: dt.datetime) -> dt.datetime:
        """Return `value` in UTC.

        Raises:
            ValidationError: it has no offset.
        """
        if value.tzinfo is None:
            self.fail("no_offset")
        return super().enforce_timezone(value)


class RowField(serializers.PrimaryKeyRelatedField[Any]):
    """The id of a row of `queryset`, as a whole number or its digits; costs one query each."""

    def to_internal_value(self, data: Any) -> Any:
        """Return the row.

        Raises:
            ValidationError: it is not an id, or there is no such row that the caller may see.
        """
        is_number = isinstance(data, int) and not isinstance(data, bool)
        if not (is_number or (isinstance(data, str) and data.isascii() and data.isdigit())):
            self.fail("incorrect_type", data_type=type(data).__name__)
        return super().to_internal_value(int(data) if len(str(data)) < len(str(BIGGEST)) else 0)


class RowSerializer(serializers.ModelSerializer[Any]):
    """Base of outputs: names a model and its fields, all of them read-only, instants in UTC."""

    serializer_field_mapping: ClassVar = {
        **serializers.ModelSerializer.serializer_field_mapping,
        models.DateTimeField: InstantField,
        models.EmailField: serializers.CharField,  # which may be empty; inputs check addresses
    }

    def get_extra_kwargs(self) -> dict[str, dict[str, Any]]:
        """Return the options of the fields, each of which is read-only."""
        options: dict[str, dict[str, Any]] = super().get_extra_kwargs()
        names = self.Meta.fields
        return {name: {**options.get(name, {}), "read_only": True} for name in names}
