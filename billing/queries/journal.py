"""The journal: every issued document and all that moved money, as postings on accounts."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from django.conf import settings
from django.db.models import QuerySet, Sum

from billing.models import (
    Allocation,
    Invoice,
    InvoiceKind,
    InvoiceLine,
    InvoiceStatus,
    LedgerAccount,
    LineKind,
    Payment,
    Refund,
    WriteOff,
)
from billing.rules.journal import (
    Posting,
    Rate,
    Taxed,
    allocated,
    credited,
    invoiced,
    received,
    refunded,
    written_off,
)

Period = tuple[date, date]


@dataclass(frozen=True)
class Entry:
    """What a document, or a row of a book of money, says in the journal; it balances."""

    booked_on: date
    document_kind: str
    document: str
    text: str
    postings: list[Posting]


@dataclass(frozen=True)
class JournalLine:
    """A posting with the account it is on; either `debit` or `credit` is none."""

    entry: Entry
    posting: Posting
    account: LedgerAccount

    @property
    def debit(self) -> Decimal | None:
        """What is debited."""
        return self.posting.amount if self.posting.amount > 0 else None

    @property
    def credit(self) -> Decimal | None:
        """What is credited."""
        return -self.posting.amount if self.posting.amount < 0 else None


def ledger_accounts() -> QuerySet[LedgerAccount]:
    """Return the accounts, in the order in which they were made."""
    return LedgerAccount.objects.order_by("id")


def journal_lines(*, opened_on: date, closed_on: date) -> list[JournalLine]:
    """Return the journal of a period by day, in eight statements for any number of documents."""
    accounts = {(row.role, row.method): row for row in ledger_accounts()}
    period = (opened_on, closed_on)
    entries = [*_documents(period), *_payments(period), *_allocations(period)]
    entries += [*_refunds(period), *_write_offs(period)]
    return [
        JournalLine(entry, posting, accounts[posting.role, posting.method])
        for entry in sorted(entries, key=lambda entry: entry.booked_on)
        for posting in entry.postings
    ]


def _documents(period: Period) -> Iterator[Entry]:
    issued: Any = Invoice.objects.filter(
        status=InvoiceStatus.ISSUED, issued_on__range=period, currency=settings.CURRENCY
    )
    deposits = _deposits(period)
    for row in issued.prefetch_related("taxes").order_by("issued_on", "series", "sequence"):
        taxed = [
            Taxed(
                rate=Rate(tax.tax_code, tax.tax_percent),
                net=tax.taxable_amount,
                deposits=deposits[row.pk, tax.tax_code, tax.tax_percent],
                tax=tax.tax_amount,
            )
            for tax in row.taxes.all()
        ]
        turned = credited if row.kind == InvoiceKind.CREDIT_NOTE else invoiced
        text = ": ".join(filter(None, [(row.buyer or {}).get("name"), row.reason]))
        yield Entry(row.issued_on, row.kind, row.number, text, turned(taxed, row.rounding_amount))


def _deposits(period: Period) -> dict[tuple[int, str, Decimal], Decimal]:
    """Return what documents demand as deposits, or deduct, by document and rate."""
    lines = InvoiceLine.objects.filter(
        kind=LineKind.DEPOSIT,
        invoice__status=InvoiceStatus.ISSUED,
        invoice__issued_on__range=period,
    )
    keys = ("invoice", "tax_code", "tax_percent")
    found: dict[tuple[int, str, Decimal], Decimal] = defaultdict(Decimal)
    for *key, net in lines.order_by().values_list(*keys).annotate(net=Sum("net_amount")):
        found[key[0], key[1], key[2]] = net
    return found


def _booked(model: Any, period: Period, currency: str, *joined: str) -> Any:
    rows = model.objects.filter(booked_on__range=period, **{currency: settings.CURRENCY})
    return rows.select_related(*joined).order_by("booked_on", "id")


def _payments(period: Period) -> Iterator[Entry]:
    for row in _booked(Payment, period, "currency", "client"):
        postings = received(row.amount, row.method)
        yield _entry(row, "payment", row.client, row.reason or row.reference, postings)


def _allocations(period: Period) -> Iterator[Entry]:
    for row in _booked(Allocation, period, "payment__currency", "payment__client", "invoice"):
        text = f"payment {row.payment_id} for {row.invoice.number}"
        yield _entry(row, "allocation", row.payment.client, text, allocated(row.amount))


def _refunds(period: Period) -> Iterator[Entry]:
    for row in _booked(Refund, period, "payment__currency", "payment__client"):
        text = f"payment {row.payment_id}, {row.reason}"
        yield _entry(row, "refund", row.payment.client, text, refunded(row.amount, row.method))


def _write_offs(period: Period) -> Iterator[Entry]:
    for row in _booked(WriteOff, period, "invoice__currency", "invoice__client"):
        text = f"{row.invoice.number}, {row.reason}"
        yield _entry(row, "write_off", row.invoice.client, text, written_off(row.amount))


def _entry(row: Any, kind: str, client: Any, said: str, postings: list[Posting]) -> Entry:
    document = f"{kind.replace('_', '-')} {row.pk}"
    text = ": ".join(filter(None, [client.name, said]))
    return Entry(row.booked_on, kind, document, text, postings)
