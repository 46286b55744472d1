"""How notes come in and go out.

In a request they are text in a naming that the request states. In an answer they stand in every
naming at once, so that nobody has to ask for one.
"""

from typing import Any

import django_filters
from django import forms
from django.db.models import QuerySet
from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from diagnostics.api.fields import OptionalTextField
from diagnostics.queries.instruments import compass_of
from diagnostics.rules.keyboard import EVERY_NOTE, HIGHEST_MIDI, Compass
from diagnostics.rules.note_names import (
    LONGEST_TEXT,
    Naming,
    NoteError,
    note_name,
    notes_text,
    parse_notes,
)
from shop.errors import ParameterError
from shop.http.filters import invalid_query
from shop.http.serializers import RowSerializer, StrictSerializer

NOTE_FIELDS = ("note_midi", "key_number", "note", "key_name")


def naming_field() -> serializers.ChoiceField:
    """Return the field that says how a request names notes."""
    return serializers.ChoiceField(
        choices=list(Naming),
        default=Naming.SCIENTIFIC,
        help_text="scientific: C4 is middle C; key_number: C40 is; midi: 60 is.",
    )


class NamingQuery(StrictSerializer):
    """How the request names notes."""

    naming = naming_field()


@extend_schema_field({"oneOf": [{"type": "string"}, {"type": "integer"}, {"type": "null"}]})
class NoteField(OptionalTextField):
    """Notes: a name, a range, a list of both, or a whole number. "" when left out or null."""

    def __init__(self, **options: Any) -> None:
        super().__init__(max_length=LONGEST_TEXT, **options)

    def to_internal_value(self, data: Any) -> str:
        """Return the text, of a whole number its digits."""
        is_number = isinstance(data, int) and not isinstance(data, bool)
        return super().to_internal_value(str(data) if is_number else data)


class MidiNoteField(serializers.CharField):
    """A MIDI number as the note's scientific name, in an answer: F#4."""

    def to_representation(self, value: Any) -> str:
        """Return the name."""
        return note_name(value, EVERY_NOTE)


class MidiNotesField(serializers.CharField):
    """MIDI numbers as a short text in scientific naming, in an answer: A0-C2, F4."""

    def to_representation(self, value: Any) -> str:
        """Return the text."""
        return notes_text(value, EVERY_NOTE)


class NotedOutput(RowSerializer):
    """Base of what stands on a note of the examined instrument; all null for the whole of it."""

    key_number = serializers.SerializerMethodField(help_text="1 is the lowest key.")
    note = serializers.SerializerMethodField(help_text="In scientific naming: F#4.")
    key_name = serializers.SerializerMethodField(help_text="Letter and key number: F#46.")

    def get_key_number(self, row: Any) -> int | None:
        """Return the note's place on the keyboard."""
        return _compass(row).key_number(row.note_midi) if _has_key(row) else None

    def get_note(self, row: Any) -> str | None:
        """Return the note's scientific name."""
        return None if row.note_midi is None else note_name(row.note_midi, EVERY_NOTE)

    def get_key_name(self, row: Any) -> str | None:
        """Return the note's letter with its key number."""
        compass = _compass(row)
        return note_name(row.note_midi, compass, Naming.KEY_NUMBER) if _has_key(row) else None


def _compass(row: Any) -> Compass:
    return compass_of(row.examination.instrument)


def _has_key(row: Any) -> bool:
    """Return whether the row is on a note that the instrument has, as it is described now."""
    return row.note_midi is not None and _compass(row).contains(row.note_midi)


def note_values(midi: int | None, compass: Compass) -> dict[str, Any]:
    """Return the fields of a note in every naming; all None for the whole instrument."""
    if midi is None:
        return dict.fromkeys(NOTE_FIELDS)
    has_key = compass.contains(midi)
    return {
        "note_midi": midi,
        "key_number": compass.key_number(midi) if has_key else None,
        "note": note_name(midi, EVERY_NOTE),
        "key_name": note_name(midi, compass, Naming.KEY_NUMBER) if has_key else None,
    }


def notes_asked(text: str, compass: Compass, naming: str) -> tuple[int, ...]:
    """Return the notes that the parameter `note` names.

    Raises:
        RequestProblem: `invalid-query`; it names none of this instrument.
    """
    try:
        return parse_notes(text, compass, naming)
    except NoteError as error:
        raise invalid_query([ParameterError("note", error.code, str(error))]) from error


class NoteFilter(django_filters.CharFilter):  # type: ignore[misc]
    """The parameter `note` of rows of one examination, in the naming that the query states."""

    def filter(self, rows: QuerySet[Any], text: str) -> QuerySet[Any]:
        """Return the rows on the notes that `text` names."""
        if not text:
            return rows
        view = self.parent.request.parser_context["view"]
        compass = compass_of(view.examination().instrument)
        return rows.filter(note_midi__in=notes_asked(text, compass, view.naming()))


class MidiFilter(django_filters.BaseInFilter, django_filters.NumberFilter):  # type: ignore[misc]
    """The parameter `note_midi`: MIDI numbers with commas between them."""

    field_class = forms.IntegerField

    def __init__(self, **options: Any) -> None:
        super().__init__(min_value=0, max_value=HIGHEST_MIDI, **options)

    def get_max_validator(self) -> None:
        """Return none but the bound of the field itself."""
        return
