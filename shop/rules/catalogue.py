"""How a shipped catalogue meets the rows that a shop already has."""

import hashlib
import json
from collections.abc import Mapping
from enum import StrEnum


class Fate(StrEnum):
    """What loading does with a shipped row."""

    ADDED = "added"
    UPDATED = "updated"
    KEPT = "kept as edited"
    UNCHANGED = "unchanged"


def digest(values: Mapping[str, object]) -> str:
    """Return the SHA-256, in hexadecimal, of plain values by name, in whatever order."""
    text = json.dumps(values, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()


def fate_of(shipped: str, stored: str | None) -> Fate:
    """Return what becomes of a shipped row, by its digest and that of the row that the shop has.

    The shop's row is one that nobody has edited since it was shipped, or there is none.
    """
    if stored is None:
        return Fate.ADDED
    return Fate.UNCHANGED if shipped == stored else Fate.UPDATED
