"""Bank statements, what of their entries is not recorded yet, and what it may be for."""

from collections.abc import Iterable
from typing import Any

from django.db.models import Case, Count, F, Q, QuerySet, Value, When

from billing.models import BankStatement, InvoiceStatus, Payment, StatementEntry
from billing.queries.invoices import invoices
from billing.queries.payments import NOTHING, entries_total
from billing.rules.matching import Debt, Proposal, Receipt, proposals


def bank_statements() -> QuerySet[Any]:
    """Return the statements, the last kept first, each with its `entry_count`."""
    rows: QuerySet[Any] = BankStatement.objects.annotate(entry_count=Count("entries"))
    return rows.order_by("-imported_at", "-id")


def statement_entries() -> QuerySet[Any]:
    """Return the entries of statements, the latest first.

    Each has `recorded_total` by payments, and `open_total`, which is what came in and is neither
    recorded nor dismissed.
    """
    rows = StatementEntry.objects.select_related("statement").annotate(
        recorded_total=entries_total(Payment, "statement_entry")
    )
    is_closed = ~Q(dismissal_reason="") | Q(amount__lt=0)
    left = Case(When(is_closed, then=Value(NOTHING)), default=F("amount") - F("recorded_total"))
    found: QuerySet[Any] = rows.annotate(open_total=left)
    return found.order_by("-booked_on", "-id")


def debts(currency: str) -> list[Debt]:
    """Return what is due on issued invoices in a currency, and how payers may name it."""
    rows = invoices().filter(status=InvoiceStatus.ISSUED, currency=currency, due_total__gt=0)
    return [
        Debt(
            invoice_id=row.pk,
            client_id=row.client_id,
            number=row.number,
            reference=row.reference,
            due=row.due_total,
            names=(row.client.name, row.client.contact_name),
        )
        for row in rows.select_related("client").order_by("pk")
    ]


def proposals_of(entries: Iterable[Any]) -> dict[int, list[Proposal]]:
    """Return what each open entry, by its key, may be for; the likeliest first.

    A debt that is proposed to one entry may be proposed to the next as well.
    """
    open_entries = [entry for entry in entries if entry.open_total > 0]
    currencies = {entry.statement.currency for entry in open_entries}
    due = {currency: debts(currency) for currency in currencies}
    return {
        entry.pk: proposals(
            Receipt(entry.open_total, entry.payer_name, entry.reference, entry.text),
            due[entry.statement.currency],
        )
        for entry in open_entries
    }
