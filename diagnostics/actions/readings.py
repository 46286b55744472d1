"""Keeping readings of the room: one at a time, and many at once."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal
from typing import Any

from django.db import transaction

from diagnostics.actions.drafts import future_error, refuse_future, refuse_wrong
from diagnostics.models import RoomReading
from shop.actions.bulk import Rows, rows_insert
from shop.actions.records import record_change, record_create
from shop.errors import FieldError
from shop.models import Instrument, User

EXISTS = "reading-exists"
# Temperature in °C and relative humidity in percent.
Values = tuple[Decimal, Decimal]


@dataclass(frozen=True)
class ReadingDraft:
    """A reading to be kept, and where in the request it stands; `line` is that of a file."""

    pointer: str
    taken_at: datetime
    temperature_c: Decimal
    humidity_percent: Decimal
    line: int | None = None

    @property
    def values(self) -> Values:
        """What was read."""
        return self.temperature_c, self.humidity_percent

    def at_its_line(self, error: FieldError) -> FieldError:
        """Return `error` with the line of the file, if this stands in one."""
        if self.line is None:
            return error
        return replace(error, detail=f"Line {self.line}: {error.detail}")


@dataclass(frozen=True)
class ReadingsKept:
    """How many readings of a request are new, and how many were kept before."""

    stored_count: int
    known_count: int
    first_at: datetime
    last_at: datetime


@transaction.atomic
def reading_create(*, values: Mapping[str, Any], now: datetime) -> RoomReading:
    """Return a new reading.

    Raises:
        InvalidInput: it is still to come.
        IntegrityError: `diagnostics_roomreading_once`, there is one of this time and place.
    """
    refuse_future(values["taken_at"], now, "/taken_at")
    return record_create(model=RoomReading, values=values)


@transaction.atomic
def reading_change(
    *, reading: RoomReading, changes: Mapping[str, Any], now: datetime
) -> RoomReading:
    """Give a reading new values and return it.

    Raises:
        InvalidInput, IntegrityError: as `reading_create`.
    """
    if "taken_at" in changes:
        refuse_future(changes["taken_at"], now, "/taken_at")
    return record_change(record=reading, changes=changes)


@transaction.atomic
def readings_record(
    *,
    instrument: Instrument,
    place: str,
    drafts: Sequence[ReadingDraft],
    errors: Iterable[FieldError],
    user: User,
    now: datetime,
) -> ReadingsKept:
    """Keep all readings, and return how many of them are new.

    `errors` are what is wrong with other rows of the same request. One that is kept already, or
    stands twice in the request, with the same values is passed over.

    Raises:
        InvalidInput: a row is wrong, still to come, or differs from another of the same time.
        Refused: `reading-exists`, readings of the same times and other values are kept.
    """
    Instrument.objects.select_for_update(no_key=True).get(pk=instrument.pk)
    by_time = {draft.taken_at: draft for draft in reversed(drafts)}
    sent = {at: draft.values for at, draft in by_time.items()}
    refuse_wrong([*errors, *_still_to_come(drafts, now), *_differing(drafts, sent, "given-twice")])
    first_at, last_at = min(by_time), max(by_time)
    known = _values_kept(instrument, place, first_at, last_at)
    refuse_wrong(list(_differing(drafts, known, EXISTS)), EXISTS)
    fresh = [
        {
            "instrument_id": instrument.pk,
            "place": place,
            "taken_at": at,
            "temperature_c": draft.temperature_c,
            "humidity_percent": draft.humidity_percent,
            "taken_by_id": user.pk,
        }
        for at, draft in by_time.items()
        if at not in known
    ]
    rows_insert(Rows(RoomReading, fresh))
    return ReadingsKept(len(fresh), len(drafts) - len(fresh), first_at, last_at)


def _values_kept(
    instrument: Instrument, place: str, first_at: datetime, last_at: datetime
) -> dict[datetime, Values]:
    rows = RoomReading.objects.filter(
        instrument=instrument, place=place, taken_at__range=(first_at, last_at)
    )
    return {
        at: (temperature, humidity)
        for at, temperature, humidity in rows.values_list(
            "taken_at", "temperature_c", "humidity_percent"
        )
    }


def _still_to_come(drafts: Iterable[ReadingDraft], now: datetime) -> Iterator[FieldError]:
    for draft in drafts:
        if error := future_error(draft.taken_at, now, f"{draft.pointer}/taken_at"):
            yield draft.at_its_line(error)


def _differing(
    drafts: Iterable[ReadingDraft], known: Mapping[datetime, Values], code: str
) -> Iterator[FieldError]:
    """Yield an error for each draft whose time is known with other values."""
    for draft in drafts:
        values = known.get(draft.taken_at, draft.values)
        if values != draft.values:
            detail = (
                f"There is a reading of {draft.taken_at:%Y-%m-%d %H:%M:%S} UTC already, with other"
                f" values: {values[0]} °C, {values[1]} %."
            )
            yield draft.at_its_line(FieldError(f"{draft.pointer}/taken_at", code, detail))
