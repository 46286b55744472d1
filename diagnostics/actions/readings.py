"""Keeping readings of the room."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.db import transaction

from diagnostics.actions.drafts import refuse_future
from diagnostics.models import RoomReading
from shop.actions.records import record_change, record_create


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
