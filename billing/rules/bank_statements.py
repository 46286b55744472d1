"""What a bank says came in and went out, and whether it says all of it."""

import hashlib
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal


class StatementError(Exception):
    """A statement cannot be right as it stands, for the reason that this says."""


@dataclass(frozen=True)
class BankEntry:
    """An amount that was booked, less than nothing when it went out.

    `entry_reference` is the bank's own and occurs once in an account; `reference` is the structured
    one that the payer quoted, `text` what the payer wrote.
    """

    booked_on: date
    amount: Decimal
    entry_reference: str = ""
    payer_name: str = ""
    payer_account: str = ""
    reference: str = ""
    text: str = ""


@dataclass(frozen=True)
class Statement:
    """The entries of an account between two balances."""

    identifier: str
    account: str
    currency: str
    opening_balance: Decimal
    closing_balance: Decimal
    entries: tuple[BankEntry, ...]


def refuse_unless_whole(statement: Statement) -> None:
    """Do nothing when the entries lead from the one balance to the other.

    Raises:
        StatementError: they do not, so some are missing.
    """
    moved = sum((entry.amount for entry in statement.entries), Decimal(0))
    expected = statement.closing_balance - statement.opening_balance
    if moved != expected:
        raise StatementError(
            f"Statement {statement.identifier} is not whole: its entries come to {moved:f}, its"
            f" balances differ by {expected:f}."
        )


def refuse_to_come(statement: Statement, today: date) -> None:
    """Do nothing when every entry was booked by `today`.

    What is recorded of an entry counts from the entry's day, and is taken back no sooner.

    Raises:
        StatementError: a day is still to come, as when a year is mistyped.
    """
    latest = max((entry.booked_on for entry in statement.entries), default=today)
    if latest > today:
        raise StatementError(
            f"Statement {statement.identifier} has an entry of {latest}, a day still to come."
        )


def with_references(entries: Iterable[BankEntry]) -> list[BankEntry]:
    """Return entries of which each has a reference that it keeps in every statement.

    Where the bank gives none, it is made of what the entry says; of entries that say the same, the
    first has another than the second.
    """
    seen: Counter[str] = Counter()
    found = []
    for entry in entries:
        said = "\n".join(
            [
                *(entry.booked_on.isoformat(), f"{entry.amount.normalize():f}"),
                *(entry.payer_name, entry.payer_account, entry.reference, entry.text),
            ]
        )
        seen[said] += 1
        made = hashlib.sha256(f"{said}\n{seen[said]}".encode()).hexdigest()[:32]
        found.append(replace(entry, entry_reference=entry.entry_reference or f"made-{made}"))
    return found
