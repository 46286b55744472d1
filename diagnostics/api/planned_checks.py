"""Checks in their order, as answers show them."""

from typing import Any

from rest_framework import serializers

from diagnostics.api.fields import ChanceField, RoundedField
from diagnostics.queries.next_checks import access_of, set_ups_of
from diagnostics.rules.keyboard import EVERY_NOTE
from diagnostics.rules.note_names import notes_text
from diagnostics.rules.possible_checks import Access
from shop.errors import ParameterError
from shop.http.filters import invalid_query
from shop.http.serializers import StrictSerializer, TextField
from shop.models import Instrument


def minutes_field(**options: Any) -> RoundedField:
    """Return the field of expected minutes."""
    return RoundedField(1, **options)


class NotesField(serializers.ListField):
    """MIDI numbers, lowest first."""

    child = serializers.IntegerField()


class NotesOutput(serializers.Serializer[Any]):
    """Base of what concerns some notes; no notes are the whole instrument."""

    notes = serializers.SerializerMethodField(help_text="In scientific naming; empty for all.")
    notes_midi = NotesField(source="notes")

    def get_notes(self, row: Any) -> str:
        """Return the notes as text."""
        return notes_text(row.notes, EVERY_NOTE)


class LikelyCauseOutput(serializers.Serializer[Any]):
    """A cause and its probability; `unknown` is one that is not in the catalogue."""

    cause = serializers.CharField(source="code")
    name = serializers.CharField()
    probability = ChanceField()


class PlannedAnswerOutput(serializers.Serializer[Any]):
    """What an answer would mean.

    `decided` is the cause that would be sure then. `next_check` is what to make then, where the
    order was solved exactly.
    """

    chance = ChanceField()
    causes = LikelyCauseOutput(many=True)
    decided = serializers.CharField(allow_null=True)
    next_check = serializers.CharField(allow_null=True)
    meaning = serializers.CharField()


class PlannedNotesOutput(NotesOutput):
    """What a check is to tell about notes that are alike, on each of them."""

    chance_needed = ChanceField(help_text="How likely no cause is sure before it.")
    information_bits = RoundedField(3)
    positive = PlannedAnswerOutput()
    negative = PlannedAnswerOutput()


class PlannedCheckOutput(NotesOutput):
    """A check to make; `minutes` are those of all its notes, without its set-up."""

    check = serializers.CharField(source="text.code")
    name = serializers.CharField(source="text.name")
    instruction = serializers.CharField(source="text.instruction")
    reads_as = serializers.CharField(source="text.reads_as")
    per_note = serializers.BooleanField()
    minutes = minutes_field()
    set_up = serializers.CharField()
    set_up_minutes = minutes_field(help_text="Of getting there, if it is not open by then.")
    chance_needed = ChanceField(help_text="How likely it is needed on any of the notes.")
    reason = serializers.CharField()
    tells = PlannedNotesOutput(many=True)


class NotesCausesOutput(NotesOutput):
    """Notes, and what is most probably behind them."""

    causes = LikelyCauseOutput(many=True)


class OpenedQuery(StrictSerializer):
    """How far the piano stands open."""

    opened = TextField(
        max_length=60,
        required=False,
        help_text="The set-up gained already, by its code; when left out, the deepest that the "
        "checks answered so far took.",
    )


def access_opened(instrument: Instrument, code: str | None) -> Access | None:
    """Return the access that the request says is gained, None when it says nothing.

    Raises:
        RequestProblem: `invalid-query`; this kind of action has no such set-up.
    """
    if code is None:
        return None
    set_ups = {each.code: each for each in set_ups_of(instrument)}
    if code not in set_ups:
        detail = f"This action has no set-up of that code; it has {', '.join(set_ups)}."
        raise invalid_query([ParameterError("opened", "set-up-unknown", detail)])
    return access_of(set_ups[code])
