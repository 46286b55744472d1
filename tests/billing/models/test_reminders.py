from datetime import timedelta

import pytest

from billing.models import Reminder, ReminderLevel
from tests.factories.billing import InvoiceFactory
from tests.factories.reminders import ReminderFactory, ReminderLevelFactory, ReminderTextFactory
from tests.factories.world import NOW, TODAY
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db


def test_levels_ascend_in_days():
    ReminderLevelFactory(level=50, days_after_due=60)
    for level, days in ((51, 60), (49, 61)):
        with refused("billing_reminderlevel_ascends"):
            ReminderLevelFactory(level=level, days_after_due=days)
    with accepted():
        ReminderLevelFactory(level=51, days_after_due=61)
    with refused("billing_reminderlevel_level_key"):
        ReminderLevelFactory(level=50, days_after_due=60)


@pytest.mark.parametrize("wrong", [{"level": 0}, {"days_after_due": 0}, {"fee_amount": -1}])
def test_a_level_makes_sense(wrong):
    ReminderLevel.objects.all().delete()
    with refused("billing_reminderlevel_sensible"):
        ReminderLevelFactory(**wrong)
    with accepted():
        ReminderLevelFactory(fee_amount=0)


def test_a_level_has_one_text_in_a_language():
    text = ReminderTextFactory()
    with refused("billing_remindertext_one_in_language"):
        ReminderTextFactory(level=text.level)
    for wrong in ({"language": "xx"}, {"subject": ""}, {"body": ""}):
        with refused("billing_remindertext_written"):
            ReminderTextFactory(**wrong)
    with accepted():
        ReminderTextFactory(level=text.level, language="de")


def test_an_invoice_is_reminded_of_once_at_each_level():
    first = ReminderFactory()
    with refused("billing_reminder_once"):
        ReminderFactory(invoice=first.invoice)
    with accepted():
        ReminderFactory(invoice=first.invoice, level=ReminderLevelFactory())


@pytest.mark.parametrize(
    ("rule", "wrong", "right"),
    [
        ("billing_reminder_reaches", {"email": ""}, {"email": "", "channel": "letter"}),
        ("billing_reminder_reaches", {"channel": "letter"}, {}),
        ("billing_reminder_reaches", {"channel": "pigeon"}, {}),
        ("billing_reminder_language_known", {"language": "xx"}, {"language": "de"}),
        ("billing_reminder_amounts_sensible", {"open_total": 0}, {"open_total": 1}),
        ("billing_reminder_amounts_sensible", {"fee_amount": -1}, {"fee_amount": 5}),
        ("billing_reminder_mailed_after", {"mailed_at": NOW - timedelta(1)}, {"mailed_at": NOW}),
        ("billing_reminder_of_overdue", {"reminded_on": TODAY + timedelta(14)}, {}),
    ],
)
def test_a_reminder_reaches_somebody_who_is_late(rule, wrong, right):
    with refused(rule):
        ReminderFactory(**wrong)
    with accepted():
        ReminderFactory(**right)


def test_a_draft_is_not_reminded_of():
    with refused("billing_reminder_of_overdue"):
        ReminderFactory(invoice=InvoiceFactory())


def test_a_reminder_stays_but_for_when_it_was_mailed():
    rows = Reminder.objects.filter(pk=ReminderFactory().pk)
    for wrong in (rows.delete, lambda: rows.update(body="Pay!")):
        with refused("billing_reminder_stays"):
            wrong()
    rows.update(mailed_at=NOW)
    with refused("billing_reminder_stays"):
        rows.update(mailed_at=None)
