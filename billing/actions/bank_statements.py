"""Keeping what the bank says, and recording as payments what clients paid."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Any

from django.db import transaction

from billing.actions.book_entries import Recorded, money_lock
from billing.actions.payments import Money, payment_record
from billing.models import BankStatement, Payment, PaymentMethod, StatementEntry
from billing.queries.bank_statements import proposals_of, statement_entries
from billing.rules.bank_statements import BankEntry, Statement, with_references
from billing.rules.settling import Share
from shop.errors import Refused
from shop.models import Client, ShopProfile


@dataclass(frozen=True)
class StatementsKept:
    """What became of a file: entries that were new, known before, and recorded as paid at once."""

    statements: list[BankStatement]
    stored_count: int
    known_count: int
    recorded_count: int


@transaction.atomic
def statements_keep(
    *,
    statements: Sequence[Statement],
    form: str,
    content_sha256: str,
    recorded: Recorded,
) -> StatementsKept:
    """Keep the statements of a file: all of them, or nothing.

    An entry that another statement of the account had already is passed over. Where the shop's
    profile says so, what is certain is recorded as paid.

    Raises:
        Refused: `statement-known`, or `entry-differs`.
    """
    _refuse_known(statements, content_sha256)
    kept, stored, known = [], 0, 0
    for statement in statements:
        row = BankStatement.objects.create(
            identifier=statement.identifier,
            account=statement.account,
            currency=statement.currency,
            opening_balance=statement.opening_balance,
            closing_balance=statement.closing_balance,
            format=form,
            content_sha256=content_sha256,
            imported_at=recorded.recorded_at,
            imported_by=recorded.recorded_by,
        )
        said = with_references(statement.entries)
        new = _new_entries(row, said)
        StatementEntry.objects.bulk_create(new)
        kept.append(row)
        stored, known = stored + len(new), known + len(said) - len(new)
    certain = 0
    if ShopProfile.objects.get().books_certain_payments:
        certain = sum(len(certain_accept(statement=row, recorded=recorded)) for row in kept)
    return StatementsKept(kept, stored, known, certain)


def _refuse_known(statements: Sequence[Statement], content_sha256: str) -> None:
    if BankStatement.objects.filter(content_sha256=content_sha256).exists():
        raise Refused("statement-known", "This very file was kept before; nothing was counted.")
    for statement in statements:
        same = {"account": statement.account, "identifier": statement.identifier}
        if BankStatement.objects.filter(**same).exists():
            detail = f"Statement {statement.identifier} of {statement.account} is kept already."
            raise Refused("statement-known", detail)


def _new_entries(statement: BankStatement, said: Sequence[BankEntry]) -> list[StatementEntry]:
    """Return rows of the entries that the account does not have yet."""
    references = [entry.entry_reference for entry in said]
    if len(set(references)) < len(references):
        twice = next(each for each in references if references.count(each) > 1)
        raise Refused("entry-differs", f"Two entries have the same reference {twice}.")
    rows = StatementEntry.objects.filter(account=statement.account, entry_reference__in=references)
    known = {row.entry_reference: row for row in rows}
    for entry in said:
        row = known.get(entry.entry_reference)
        if row and (row.booked_on, row.amount) != (entry.booked_on, entry.amount):
            detail = f"Entry {entry.entry_reference} is kept with another day or amount."
            raise Refused("entry-differs", detail)
    return [
        StatementEntry(statement=statement, account=statement.account, **asdict(entry))
        for entry in said
        if entry.entry_reference not in known
    ]


@transaction.atomic
def certain_accept(*, statement: BankStatement, recorded: Recorded) -> list[Payment]:
    """Record as payments all open entries of a statement of which it is certain what they are for.

    Two entries that are certain of the same invoice are looked at one after the other, so that the
    second is left to a person.
    """
    entries = list(statement_entries().filter(statement=statement, open_total__gt=0))
    before = proposals_of(entries)
    money_lock({each.client_id for several in before.values() for each in several[:1]})
    entries = list(statement_entries().filter(pk__in=before, open_total__gt=0))
    found = proposals_of(entries)
    payments, settled = [], set[int]()
    for entry in reversed(entries):
        best = found[entry.pk][0] if found[entry.pk] else None
        if best is None or not best.is_certain:
            continue
        now = {share.row_id for share in best.shares}
        if now & settled:
            continue
        settled |= now
        client = Client.objects.get(pk=best.client_id)
        payments.append(_recorded(entry, client, best.shares, recorded))
    return payments


@transaction.atomic
def entry_accept(
    *,
    entry: StatementEntry,
    client: Client | None = None,
    shares: Sequence[Share] | None = None,
    recorded: Recorded,
) -> Payment:
    """Record as a payment what is open of an entry, and return the payment.

    Without a client, the proposal that is certain is accepted. What no share names is the client's
    credit.

    Raises:
        Refused: `entry-closed`, `match-uncertain`, or what is wrong with a share.
    """
    now = statement_entries().get(pk=entry.pk)
    if now.open_total <= 0:
        detail = "The entry is recorded or dismissed, or no money came in by it."
        raise Refused("entry-closed", detail)
    if client is None:
        best = next(iter(proposals_of([now])[now.pk]), None)
        if best is None or not best.is_certain:
            detail = "Nothing is certain of this entry; say whose payment it is, and for what."
            raise Refused("match-uncertain", detail)
        client, shares = Client.objects.get(pk=best.client_id), best.shares
    # Whoever else accepts it at once, of whatever client, is stopped by the database.
    return _recorded(now, client, shares or (), recorded)


def _recorded(entry: Any, client: Client, shares: Sequence[Share], recorded: Recorded) -> Payment:
    money = Money(
        amount=entry.open_total,
        method=PaymentMethod.TRANSFER,
        booked_on=entry.booked_on,
        reference=entry.reference or entry.text[:140],
        statement_entry=entry,
    )
    return payment_record(client=client, money=money, shares=shares, recorded=recorded)


@transaction.atomic
def entry_dismiss(*, entry: StatementEntry, reason: str) -> StatementEntry:
    """Say of an entry that no client paid it, and return it.

    Raises:
        Refused: `entry-closed`, when it is recorded.
    """
    entry = StatementEntry.objects.select_for_update().get(pk=entry.pk)
    if statement_entries().get(pk=entry.pk).recorded_total:
        raise Refused("entry-closed", "The entry is recorded as paid; reverse the payment first.")
    entry.dismissal_reason = reason
    entry.save(update_fields=["dismissal_reason"])
    return entry


@transaction.atomic
def entry_reopen(*, entry: StatementEntry) -> StatementEntry:
    """Take up an entry again that was dismissed, and return it."""
    entry = StatementEntry.objects.select_for_update().get(pk=entry.pk)
    entry.dismissal_reason = ""
    entry.save(update_fields=["dismissal_reason"])
    return entry
