"""Reminders of what is overdue."""

from datetime import timedelta
from decimal import Decimal

import factory

from billing import models
from tests.factories.billing import InvoiceFactory
from tests.factories.shop import RowFactory, UserFactory
from tests.factories.world import NOW, TODAY


class ReminderLevelFactory(RowFactory):
    """A level above those that ship, as many days later as it is higher."""

    class Meta:
        model = models.ReminderLevel

    level = factory.Sequence(lambda n: 100 + n)
    days_after_due = factory.SelfAttribute("level")


class ReminderTextFactory(RowFactory):
    class Meta:
        model = models.ReminderText

    level = factory.SubFactory(ReminderLevelFactory)
    language = "en"
    subject = "Invoice $number"
    body = "$total, please."


class ReminderFactory(RowFactory):
    """A reminder that was mailed to nobody yet, of an invoice that is a week overdue."""

    class Meta:
        model = models.Reminder

    invoice = factory.SubFactory(InvoiceFactory, issued=True)
    level = factory.LazyFunction(lambda: models.ReminderLevel.objects.get(level=1))
    channel = "mail"
    language = "en"
    email = "office@eel-pie.example"
    subject = "Invoice 7"
    body = "117.50 EUR, please."
    open_total = Decimal("117.50")
    interest_amount = Decimal(0)
    fee_amount = Decimal(0)
    reminded_on = TODAY + timedelta(days=21)
    recorded_at = NOW
    recorded_by = factory.SubFactory(UserFactory)
