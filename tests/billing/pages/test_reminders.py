"""Reminders as letters, read back by a program that knows nothing of how they were made."""

from decimal import Decimal

import pytest

from shop.models import ShopProfile
from tests.callers import nobody, office, technician
from tests.documents import assert_accessible, read, squeezed, text_of
from tests.factories.billing import InvoiceFactory
from tests.factories.reminders import ReminderFactory
from tests.factories.shop import ClientFactory

__all__ = ["nobody", "office", "technician"]

pytestmark = pytest.mark.django_db


def path_of(reminder):
    return f"/reminders/{reminder.pk}/pdf"


def test_a_reminder_is_a_letter_that_says_what_was_shown_and_what_is_to_be_paid(office):
    ShopProfile.objects.update(name="Reedham Pianos", country="DE")
    client = ClientFactory(name="Aalgasse-Schule", street="Aalgasse 1", city="Moor")
    invoice = InvoiceFactory(client=client, issued=True)
    reminder = ReminderFactory(
        invoice=invoice,
        language="de",
        subject="Zahlungserinnerung",
        body="Guten Tag,\n\nwir bitten um\nIhre Zahlung.\n\nReedham Pianos\n",
        interest_amount=Decimal("1.25"),
        fee_amount=Decimal(5),
    )
    answer = office.get(path_of(reminder))
    reader = read(answer)
    assert_accessible(reader, language="de", title="Zahlungserinnerung")
    lines = text_of(reader).splitlines()
    # The letter's own lines stay lines.
    assert lines.index("wir bitten um") + 1 == lines.index("Ihre Zahlung.")
    text = squeezed(text_of(reader))
    # By hand: 117.50 and 1.25 and 5.00.
    for words in (
        "Aalgasse-Schule Aalgasse 1 Moor",
        "Datum 23.03.2026",
        f"Rechnung {invoice.number} vom 02.03.2026",
        "Zahlbar bis 16.03.2026",
        "Offen 117,50 €",
        "Zinsen 1,25 €",
        "Gebühr 5,00 €",
        "Zu zahlen 123,75 €",
    ):
        assert words in text, words
    assert office.get(path_of(reminder)).content == answer.content


def test_a_reminder_without_interest_and_fee_does_not_mention_any(office, technician, nobody):
    reminder = ReminderFactory()
    text = squeezed(text_of(read(office.get(path_of(reminder)))))
    assert "Interest" not in text
    assert "Fee" not in text
    assert "To be paid €117.50" in text
    assert technician.get(path_of(reminder)).status_code == 403
    assert nobody.get(path_of(reminder)).status_code == 401
