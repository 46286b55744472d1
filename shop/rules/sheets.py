"""What a sheet would do to what is stored: row by row, column by column."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any


class Fate(StrEnum):
    """What becomes of a row of a sheet."""

    MADE = "made"
    CHANGED = "changed"
    UNCHANGED = "unchanged"
    REFUSED = "refused"


@dataclass(frozen=True)
class Change:
    """A column, what it held and what it is to hold."""

    column: str
    old: Any
    new: Any


def changes(old: Mapping[str, Any], new: Mapping[str, Any]) -> tuple[Change, ...]:
    """Return what differs, in the order of the columns; 1.50 is no other number than 1.5."""
    return tuple(
        Change(column, old[column], value) for column, value in new.items() if old[column] != value
    )
