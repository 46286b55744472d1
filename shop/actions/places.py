"""Shelves and vans. Job bags and the world outside are the program's own."""

from collections.abc import Mapping
from typing import Any

from django.db import transaction

from shop.actions.records import record_change, record_delete
from shop.actions.stock import refuse_unless_own
from shop.models import Place


@transaction.atomic
def place_change(*, place: Place, changes: Mapping[str, Any]) -> Place:
    """Rename, close or open a shelf or van and return it.

    Raises:
        Refused: it is neither.
        IntegrityError: something is still there (`shop_place_closed_empty`).
    """
    refuse_unless_own(place, "")
    return record_change(record=place, changes=changes)


@transaction.atomic
def place_delete(*, place: Place) -> None:
    """Delete a shelf or van where nothing ever was.

    Raises:
        Refused: it is neither.
        ProtectedError: moves went there.
    """
    refuse_unless_own(place, "")
    record_delete(record=place)
