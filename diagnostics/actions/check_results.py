"""Recording what checks showed."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.db import transaction

from diagnostics.actions.drafts import DraftReader, Sent
from diagnostics.models import CheckResult, Examination
from shop.errors import FieldError


@dataclass(frozen=True)
class CheckResultDraft:
    """A result as it was posted: `check` is a code, `note` empty for the whole instrument."""

    pointer: str
    check: str
    outcome: str
    note: str = ""
    comment: str = ""


@transaction.atomic(savepoint=False)
def check_results_record(
    *,
    examination: Examination,
    drafts: list[CheckResultDraft],
    naming: str,
    errors: Iterable[FieldError] = (),
) -> list[CheckResult]:
    """Store a result for every note of every draft and return them in the order given.

    `examination` is locked by the caller, with its instrument. `errors` are those of rows that
    could not be made drafts.

    Raises:
        InvalidInput: `invalid-input`, naming every row with an unknown note or check, a check that
            this action does not have, or that stands there twice.
        Refused: `check-already-answered`, naming every row that was recorded before, when nothing
            else is wrong.
    """
    codes = {"check": {draft.check for draft in drafts}}
    reader = DraftReader(examination.instrument, codes, naming, errors)
    results: list[CheckResult] = []
    sent: list[Sent] = []
    for draft in drafts:
        for result in _results_of(draft, examination, reader):
            results.append(result)
            sent.append(Sent(draft.pointer, result.note_midi, (result.check_made_id,)))
        reader.refuse_beyond(len(results), draft.pointer)
    recorded = CheckResult.objects.filter(examination=examination)
    keys = recorded.values_list("note_midi", "check_made_id")
    reader.refuse_repeats(sent, keys, "check-already-answered")
    reader.refuse(conflict="check-already-answered")
    return CheckResult.objects.bulk_create(results)


def _results_of(
    draft: CheckResultDraft, examination: Examination, reader: DraftReader
) -> list[CheckResult]:
    """Return the results that a draft states; none, with the errors in `reader`, when wrong."""
    check_id = reader.entry_id("check", draft.check, f"{draft.pointer}/check")
    notes = reader.notes_or_instrument(draft.note, f"{draft.pointer}/note")
    if check_id is None:
        return []
    said = {"outcome": draft.outcome, "comment": draft.comment, "check_made_id": check_id}
    return [CheckResult(examination=examination, note_midi=note, **said) for note in notes]
