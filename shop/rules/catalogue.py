"""How a shipped catalogue meets the rows that a shop already has."""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum


class Fate(StrEnum):
    """What loading does with a shipped row."""

    ADDED = "added"
    UPDATED = "updated"
    KEPT = "kept as edited"
    UNCHANGED = "unchanged"


@dataclass(frozen=True)
class Stored:
    """A row that the shop has: the digest of its values now, and as it was last shipped.

    `shipped_digest` is empty for a row of the shop's own.
    """

    digest: str
    shipped_digest: str


def digest(values: Mapping[str, object]) -> str:
    """Return the SHA-256, in hexadecimal, of plain values by name, in whatever order."""
    text = json.dumps(values, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()


def fate_of(shipped: str, stored: Stored | None) -> Fate:
    """Return what becomes of the row whose values have the digest `shipped`.

    A stored row that differs from what was last shipped was edited by the shop, and stays.
    """
    if stored is None:
        return Fate.ADDED
    if stored.digest != stored.shipped_digest:
        return Fate.KEPT
    return Fate.UNCHANGED if shipped == stored.digest else Fate.UPDATED
