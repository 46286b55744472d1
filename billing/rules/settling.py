"""How money is shared out over what is owed, and taken back from it."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

NOTHING = Decimal(0)


@dataclass(frozen=True)
class Share:
    """An amount, above nothing, for the row of this key."""

    row_id: int
    amount: Decimal


def shared_in_order(amount: Decimal, dues: Iterable[Share]) -> list[Share]:
    """Return what each due gets of `amount` when the first is settled before the next."""
    shares = []
    for due in dues:
        given = min(amount, due.amount)
        if given > 0:
            shares.append(Share(due.row_id, given))
            amount -= given
    return shares


@dataclass(frozen=True)
class Release:
    """The keys of the rows to reverse, and what of the last of them is to be entered again."""

    reversed_ids: tuple[int, ...]
    kept: Decimal


def released(amount: Decimal, settled: Iterable[Share]) -> Release:
    """Return which rows, in the order given, set `amount` free again; the last may give too much.

    Raises:
        ValueError: all of them together are less.
    """
    freed, keys = NOTHING, []
    for row in settled:
        if freed >= amount:
            break
        freed += row.amount
        keys.append(row.row_id)
    if freed < amount:
        raise ValueError(f"Only {freed} of {amount} can be set free.")
    return Release(tuple(keys), freed - amount)
