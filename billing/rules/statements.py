"""A client's account over a period."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

NOTHING = Decimal(0)


@dataclass(frozen=True)
class Change:
    """What a document or money changed on a client's account: more is owed above nothing.

    `document` is an invoice's number, or says of which payment it is; `text` says more.
    """

    booked_on: date
    kind: str
    document: str
    amount: Decimal
    text: str = ""
    method: str = ""
    due_on: date | None = None


@dataclass(frozen=True)
class AccountLine:
    """A change, and what was owed after it."""

    change: Change
    balance: Decimal


@dataclass(frozen=True)
class Account:
    """What was owed at first, what changed it in order, and what was owed at last.

    Less than nothing is the client's credit.
    """

    opening_balance: Decimal
    lines: tuple[AccountLine, ...]
    closing_balance: Decimal


def account(changes: Iterable[Change], opened_on: date) -> Account:
    """Return the account from the day `opened_on` on, of changes in order of their days."""
    balance, opening, lines = NOTHING, NOTHING, []
    for change in changes:
        balance += change.amount
        if change.booked_on < opened_on:
            opening = balance
        else:
            lines.append(AccountLine(change, balance))
    return Account(opening, tuple(lines), balance)
