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
from shop.models import Instrument


@transaction.atomic
def examination_create(*, values: Mapping[str, Any], naming: str, now: datetime) -> Examination:
    """Return a new examination; `notes_examined` of its `values` is text in `naming`.

    Raises:
        InvalidInput: `invalid-input`: it is still to come, names notes that the instrument does not
            have, a visit to another site, or follows what is not an earlier examination of it.
    """
    stored = dict(values)
    _read(stored, values["instrument"], naming, now)
    _refuse_not_earlier(stored.get("follows"), values["instrument"], values["examined_at"])
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
    if "follows" in stored:
        examined_at = stored.get("examined_at", examination.examined_at)
        _refuse_not_earlier(stored["follows"], examination.instrument, examined_at)
    return record_change(record=examination, changes=stored)


@transaction.atomic
def examination_delete(*, examination: Examination) -> None:
    """Delete an examination with its findings and check results.

    Raises:
        Refused: `in-use`, when it was quoted, worked on or followed up.
    """
    try:
        examination.delete()
    except ProtectedError as error:
        detail = "A quote or bench work rests on this examination, or another follows it; it stays."
        raise Refused("in-use", detail) from error


def _refuse_not_earlier(
    followed: Examination | None, instrument: Instrument, examined_at: datetime
) -> None:
    """Go on only when what is followed is an earlier examination of the same instrument."""
    if followed is None:
        return
    if followed.instrument_id != instrument.pk or followed.examined_at >= examined_at:
        detail = "A follow-up is of an earlier examination of the same instrument; this is none."
        error = FieldError("/follows", "follows-not-earlier", detail)
        raise InvalidInput("invalid-input", detail, (error,))


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
