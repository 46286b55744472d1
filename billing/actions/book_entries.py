"""What the verbs of money have in common: whose turn it is, and how a row is taken back."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any, TypeVar

from billing.models import BookEntry
from shop.errors import FieldError, InvalidInput, Refused
from shop.models import Client, User
from shop.rules.money import rounded

Entry = TypeVar("Entry", bound=BookEntry)


@dataclass(frozen=True)
class Recorded:
    """When something was recorded, and by whom."""

    recorded_at: datetime
    recorded_by: User


def money_lock(client_ids: Iterable[int]) -> None:
    """Keep others from working on the money of these clients until the transaction ends."""
    rows = Client.objects.select_for_update(no_key=True).filter(pk__in=set(client_ids))
    list(rows.order_by("pk").values_list("pk", flat=True))


def amount_check(amount: Decimal, currency: str, decimals: int) -> None:
    """Do nothing when an amount has no more decimals than its currency.

    Raises:
        InvalidInput: `amount-too-fine`.
    """
    if amount != rounded(amount, decimals):
        detail = f"{currency} has {decimals} decimals."
        raise InvalidInput(
            "invalid-input", detail, (FieldError("/amount", "amount-too-fine", detail),)
        )


def money_text(amount: Decimal, currency: str, decimals: int) -> str:
    """Return an amount as a sentence says it."""
    return f"{rounded(amount, decimals):f} {currency}"


def entry_reverse(entry: Entry, reason: str, booked_on: date, recorded: Recorded) -> Entry:
    """Take back a row of a book by one of the opposite amount, and return that.

    Raises:
        Refused: `already-reversed`, or `reversal-stands` when it is a reversal itself.
    """
    if entry.amount < 0:
        raise Refused("reversal-stands", "A reversal is not reversed; record the thing anew.")
    books = type(entry)._default_manager
    if books.filter(reverses=entry.pk).exists():
        raise Refused("already-reversed", "This was reversed before.")
    return entries_reversed([entry], reason, booked_on, recorded)[0]


def entries_reversed(
    entries: Iterable[Entry], reason: str, booked_on: date, recorded: Recorded
) -> list[Entry]:
    """Take back rows of one book that were not reversed yet, by one statement."""
    rows = list(entries)
    if not rows:
        return []
    return type(rows[0])._default_manager.bulk_create(
        entry_like(
            row,
            recorded,
            amount=-row.amount,
            booked_on=booked_on,
            reason=reason,
            reverses_id=row.pk,
        )
        for row in rows
    )


def entry_like(row: Entry, recorded: Recorded, **different: Any) -> Entry:
    """Return a row that is not stored yet, like another but for some columns."""
    model = type(row)
    columns = {field.attname: getattr(row, field.attname) for field in model._meta.concrete_fields}
    columns |= {"id": None, "recorded_at": recorded.recorded_at} | different
    columns["recorded_by_id"] = recorded.recorded_by.pk
    return model(**columns)
