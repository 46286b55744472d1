"""Recording the weights of notes."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction

from diagnostics.actions.drafts import DraftReader, Sent
from diagnostics.models import Examination, TouchWeight
from shop.errors import FieldError


@dataclass(frozen=True)
class TouchWeightDraft:
    """Weights as they were posted: of the notes that `note` names, by column."""

    pointer: str
    note: str
    weights: Mapping[str, Decimal | None]


@transaction.atomic(savepoint=False)
def touch_weights_record(
    *,
    examination: Examination,
    drafts: list[TouchWeightDraft],
    naming: str,
    errors: Iterable[FieldError] = (),
) -> list[TouchWeight]:
    """Store the weights of every note of every draft and return them in the order given.

    `examination` is locked by the caller, with its instrument. `errors` are those of rows that
    could not be made drafts.

    Raises:
        InvalidInput: `invalid-input`, naming every row with an unknown note, or one that stands
            there twice.
        Refused: `note-weighed`, naming every row whose note was weighed before, when nothing else
            is wrong.
    """
    reader = DraftReader(examination.instrument, {}, naming, errors)
    rows: list[TouchWeight] = []
    sent: list[Sent] = []
    for draft in drafts:
        for note in reader.notes(draft.note, f"{draft.pointer}/note"):
            rows.append(TouchWeight(examination=examination, note_midi=note, **draft.weights))
            sent.append(Sent(draft.pointer, note, ()))
        reader.refuse_beyond(len(rows), draft.pointer)
    weighed = TouchWeight.objects.filter(examination=examination)
    reader.refuse_repeats(sent, weighed.values_list("note_midi"), "note-weighed")
    reader.refuse(conflict="note-weighed")
    return TouchWeight.objects.bulk_create(rows)
