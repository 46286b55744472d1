"""Reminding clients of what is overdue."""

import logging
from collections.abc import Collection, Sequence
from datetime import date, datetime
from email.utils import formataddr
from functools import partial
from smtplib import SMTPException

from django.conf import settings
from django.core.mail import EmailMessage
from django.db import transaction

from billing.actions.book_entries import Recorded, money_lock
from billing.models import Reminder, ReminderChannel
from billing.queries.reminders import NO_EMAIL, NO_TEXT, DueReminder, digest, reminders_due
from shop.errors import Refused
from shop.models import ShopProfile

logger = logging.getLogger(__name__)


@transaction.atomic
def reminders_send(
    *,
    seen: str,
    invoices: Collection[int] | None = None,
    letters: bool = False,
    today: date,
    recorded: Recorded,
) -> list[Reminder]:
    """Record the reminders that were seen, mail them once all is stored, and return them.

    `seen` is the digest of what the dry run showed. Only those of the named invoices are made
    where some are named. Clients without an address are passed over, unless by `letters`.

    Raises:
        Refused: `reminders-changed`, since something was paid, say, or `reminder-not-due`.
    """
    money_lock(each.invoice.client_id for each in reminders_due(today))
    due = reminders_due(today)
    if digest(due) != seen:
        detail = "What would be sent is not what was shown any more; look at it again."
        raise Refused("reminders-changed", detail)
    wanted = [
        _reminder(each, today, recorded) for each in _chosen(due, invoices) if _goes(each, letters)
    ]
    made = Reminder.objects.bulk_create(wanted)
    keys = [reminder.pk for reminder in made]
    mail = partial(reminders_mail, keys=keys, mailed_at=recorded.recorded_at)
    transaction.on_commit(mail, robust=True)
    return made


def _chosen(due: Sequence[DueReminder], invoices: Collection[int] | None) -> list[DueReminder]:
    if invoices is None:
        return list(due)
    unknown = sorted(set(invoices) - {each.invoice.pk for each in due})
    if unknown:
        raise Refused("reminder-not-due", f"No reminder of invoice {unknown[0]} is due.")
    return [each for each in due if each.invoice.pk in invoices]


def _goes(due: DueReminder, letters: bool) -> bool:  # noqa: FBT001 (a setting of the caller's)
    return due.hindrance != NO_TEXT and (letters or due.hindrance != NO_EMAIL)


def _reminder(due: DueReminder, today: date, recorded: Recorded) -> Reminder:
    email = due.invoice.client.email
    return Reminder(
        invoice=due.invoice,
        level=due.level,
        channel=ReminderChannel.MAIL if email else ReminderChannel.LETTER,
        language=due.language,
        email=email,
        subject=due.subject,
        body=due.body,
        open_total=due.invoice.open_total,
        interest_amount=due.interest_amount,
        fee_amount=due.fee_amount,
        reminded_on=today,
        recorded_at=recorded.recorded_at,
        recorded_by=recorded.recorded_by,
    )


@transaction.atomic
def reminder_mail_again(*, reminder: Reminder, mailed_at: datetime) -> Reminder:
    """Mail a reminder that the mail server did not take, once all is stored; return it.

    Raises:
        Refused: `reminder-mailed`, or it is a letter.
    """
    if reminder.channel != ReminderChannel.MAIL or reminder.mailed_at:
        raise Refused("reminder-mailed", "The reminder is a letter, or was mailed before.")
    mail = partial(reminders_mail, keys=[reminder.pk], mailed_at=mailed_at)
    transaction.on_commit(mail, robust=True)
    return reminder


def reminders_mail(*, keys: Collection[int], mailed_at: datetime) -> None:
    """Mail those of these reminders that were not mailed yet, and keep when the server took them.

    What it does not take stays unmailed and is logged.
    """
    profile = ShopProfile.objects.get()
    sender = formataddr((profile.name, profile.email or settings.DEFAULT_FROM_EMAIL))
    for key in keys:
        with transaction.atomic():
            unsent = Reminder.objects.select_for_update(skip_locked=True)
            reminder = unsent.filter(
                pk=key, channel=ReminderChannel.MAIL, mailed_at__isnull=True
            ).first()
            if reminder and _is_taken(reminder, sender):
                reminder.mailed_at = mailed_at
                reminder.save(update_fields=["mailed_at"])


def _is_taken(reminder: Reminder, sender: str) -> bool:
    try:
        EmailMessage(reminder.subject, reminder.body, sender, [reminder.email]).send()
    except (SMTPException, OSError):
        logger.exception("The mail server did not take reminder %s.", reminder.pk)
        return False
    return True
