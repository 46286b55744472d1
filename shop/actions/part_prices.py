"""Changing a part; a new price holds from the day it is entered."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from django.db import transaction

from shop.actions.records import record_change
from shop.models import Part, PartPrice


@transaction.atomic
def part_change(*, part: Part, changes: Mapping[str, Any], day: date) -> Part:
    """Give a part new values, its price from `day` on, and return it.

    Prices that are entered for later days stand.

    Raises:
        ValidationError: a value does not fit its column.
        IntegrityError: a named constraint refuses the row.
    """
    own = {name: value for name, value in changes.items() if name != "price"}
    if "price" in changes:
        PartPrice.objects.update_or_create(
            part=part, valid_from=day, defaults={"price": changes["price"]}
        )
    return record_change(record=part, changes=own) if own else part
