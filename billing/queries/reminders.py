"""Whom to remind of what, with the whole text; and the reminders that were made."""

import hashlib
import json
from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Any

from django.db.models import QuerySet

from billing.models import Allocation, Invoice, InvoiceStatus, Reminder, ReminderLevel, WriteOff
from billing.queries.receivables import invoices_owed
from billing.rules.reminding import Reminded, Settled, Step, filled, late_interest, next_step
from shop.models import ShopProfile
from shop.pages.wording import Wording, wording

NO_EMAIL, NO_TEXT = "no-email", "no-text"
NOTHING = Decimal(0)


@dataclass(frozen=True)
class DueReminder:
    """A reminder whose turn it is: what it asks for, to whom, and all that it says.

    `hindrance` says why it cannot be mailed: `no-email`, or `no-text` in any language.
    """

    invoice: Any
    level: ReminderLevel
    language: str
    days_overdue: int
    interest_amount: Decimal
    fee_amount: Decimal
    subject: str
    body: str
    hindrance: str

    @property
    def total(self) -> Decimal:
        """What it asks for in all."""
        open_total: Decimal = self.invoice.open_total
        return open_total + self.interest_amount + self.fee_amount


def reminders() -> QuerySet[Reminder]:
    """Return the reminders that were made, the latest first."""
    rows = Reminder.objects.select_related("invoice__client", "level")
    return rows.order_by("-recorded_at", "-id")


def reminder_levels() -> QuerySet[ReminderLevel]:
    """Return the levels in their order, with their texts."""
    return ReminderLevel.objects.prefetch_related("texts").order_by("level", "id")


def reminders_due(today: date) -> list[DueReminder]:
    """Return the reminders whose turn it is, in eight statements for any number of invoices."""
    profile, levels = ShopProfile.objects.get(), list(reminder_levels())
    steps = [Step(row.level, row.days_after_due) for row in levels]
    by_level = {row.level: row for row in levels}
    overdue = [row for row in invoices_owed(today) if row.due_on < today]
    last = _last_reminders(overdue)
    settled = _settled(overdue)
    found = []
    for invoice in overdue:
        step = next_step(steps, invoice.due_on, last.get(invoice.pk), today)
        if step:
            interest = _interest(invoice, settled[invoice.pk], today, profile)
            found.append(_due(invoice, by_level[step.level], interest, today, profile))
    return found


def digest(due: Iterable[DueReminder]) -> str:
    """Return the SHA-256 of what these reminders say and to whom, in hexadecimal."""
    said = [
        [each.invoice.pk, each.level.pk, each.invoice.client.email, each.subject, each.body]
        for each in due
    ]
    return hashlib.sha256(json.dumps(said).encode()).hexdigest()


def _last_reminders(invoices: Sequence[Invoice]) -> dict[int, Reminded]:
    rows = Reminder.objects.filter(invoice__in=invoices).order_by("level__level")
    values = rows.values_list("invoice", "level__level", "reminded_on")
    return {key: Reminded(level, day) for key, level, day in values}


def _settled(invoices: Sequence[Invoice]) -> dict[int, list[Settled]]:
    """Return what settled each invoice; what a credit note took back was never owed."""
    settled: dict[int, list[Settled]] = defaultdict(list)
    for model in (Allocation, WriteOff):
        rows = model._default_manager.filter(invoice__in=invoices)
        for key, day, amount in rows.values_list("invoice", "booked_on", "amount"):
            settled[key].append(Settled(day, amount))
    notes = Invoice.objects.filter(corrects__in=invoices, status=InvoiceStatus.ISSUED)
    for note in notes:
        if note.corrects_id:
            settled[note.corrects_id].append(Settled(date.min, note.payable_total))
    return settled


def _interest(
    invoice: Any, settled: Sequence[Settled], today: date, profile: ShopProfile
) -> Decimal:
    if not profile.late_interest_percent:
        return NOTHING
    return late_interest(
        invoice.payable_total,
        settled,
        due_on=invoice.due_on,
        until=today,
        percent=profile.late_interest_percent,
        decimals=invoice.minor_units,
    )


def _due(
    invoice: Any, level: ReminderLevel, interest: Decimal, today: date, profile: ShopProfile
) -> DueReminder:
    client = invoice.client
    texts = {text.language: text for text in level.texts.all()}
    wanted = [client.language, profile.language, *texts]
    language = next((each for each in wanted if each in texts), "")
    fee = level.fee_amount or NOTHING
    found = DueReminder(
        invoice=invoice,
        level=level,
        language=language or profile.language,
        days_overdue=(today - invoice.due_on).days,
        interest_amount=interest,
        fee_amount=fee,
        subject="",
        body="",
        hindrance="" if client.email else NO_EMAIL,
    )
    if not language:
        return replace(found, hindrance=NO_TEXT)
    values = _values(found, profile)
    text = texts[language]
    subject = " ".join(filled(text.subject, values).split())
    return replace(found, subject=subject, body=filled(text.body, values))


def _values(due: DueReminder, profile: ShopProfile) -> dict[str, str]:
    invoice, words = due.invoice, wording(due.language, profile.country)

    def money(amount: Decimal) -> str:
        return words.money(amount, invoice.currency, invoice.minor_units)

    return {
        "client": invoice.client.name,
        "shop": profile.name,
        "number": invoice.number,
        "reference": invoice.reference,
        "issued_on": words.day(invoice.issued_on),
        "due_on": words.day(invoice.due_on),
        "days_overdue": str(due.days_overdue),
        "open": money(invoice.open_total),
        "charges": _charges(due, profile, words, money),
        "total": money(due.total),
        "iban": profile.iban,
    }


def _charges(
    due: DueReminder, profile: ShopProfile, words: Wording, money: Callable[[Decimal], str]
) -> str:
    """Return a line for the interest and one for the fee, where there are any."""
    texts, percent = words.texts["reminder"], profile.late_interest_percent
    lines = []
    if percent and due.interest_amount:
        rate = words.percent(percent)
        lines.append(texts["interest"].format(percent=rate, amount=money(due.interest_amount)))
    if due.fee_amount:
        lines.append(texts["fee"].format(amount=money(due.fee_amount)))
    return "\n".join(lines)
