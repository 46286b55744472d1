"""Looking an instrument over: when, by whom, which notes."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.db import transaction
from django.db.models import ProtectedError

from diagnostics.actions.drafts import DraftReader, refuse_future
from diagnostics.models import Examination
from shop.actions.records import record_change, record_create
from shop.errors import FieldError, InvalidInput, Refused


@transaction.atomic
def examination_create(*, values: Mapping[str, Any], naming: str, now: datetime) -> Examination:
    """Return a new examination; `notes_examined` of its `values` is text in `naming`.

    Raises:
        InvalidInput: `invalid-input`: it is still to come, names notes that the instrument does not
            have, or a visit to another site.
    """
    stored = dict(values)
    _read(stored, values["instrument"], naming, now)
    return record_create(model=Examination, values=stored)


@transaction.atomic
def examination_change(
    *, examination: Examination, changes: Mapping[str, Any], naming: str, now: datetime
) -> Examination:
    """Give an examination new values and return it; `notes_examined` is text in `naming`.

    Raises:
        InvalidInput: as `examination_create`.
    """
    stored = dict(changes)
    _read(stored, examination.instrument, naming, now)
    return record_change(record=examination, changes=stored)


@transaction.atomic
def examination_delete(*, examination: Examination) -> None:
    """Delete an examination with its findings and check results.

    Raises:
        Refused: `in-use`, when it was quoted or worked on.
    """
    try:
        examination.delete()
    except ProtectedError as error:
        detail = "A quote or bench work rests on this examination; it stays as it is."
        raise Refused("in-use", detail) from error


def _read(values: dict[str, Any], instrument: Any, naming: str, now: datetime) -> None:
    """Put the notes' numbers into `values`, and refuse what cannot be right."""
    if "examined_at" in values:
        refuse_future(values["examined_at"], now, "/examined_at")
    visit = values.get("visit")
    if visit is not None and visit.site_id != instrument.site_id:
        detail = "This visit went to another site than the instrument's."
        error = FieldError("/visit", "visit-elsewhere", detail)
        raise InvalidInput("invalid-input", detail, (error,))
    if "notes_examined" in values:
        reader = DraftReader(instrument, {}, naming)
        text = values["notes_examined"]
        values["notes_examined"] = list(reader.notes(text, "/notes_examined") if text else ())
        reader.refuse()
