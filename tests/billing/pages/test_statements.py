"""Statements on paper, read back by a program that knows nothing of how they were made."""

import re

import pytest

from shop.models import Client, ShopProfile
from tests.billing.api.test_office_reports import Month
from tests.callers import nobody, office, technician
from tests.documents import assert_accessible, read, squeezed, text_of
from tests.factories.billing import InvoiceFactory
from tests.factories.shop import ClientFactory, SiteFactory

__all__ = ["nobody", "office", "technician"]

pytestmark = pytest.mark.django_db

IN_MARCH = "opened_on=2026-03-05&closed_on=2026-03-31"
# The example account of the IBAN registry (SWIFT), Germany.
IBAN = "DE89370400440532013000"


def path_of(client, period=IN_MARCH):
    return f"/clients/{client.pk}/statement/pdf?{period}"


def test_a_statement_leads_from_what_was_owed_to_what_is_in_the_clients_language(office):
    ShopProfile.objects.update(name="Reedham Pianos", country="DE", iban=IBAN)
    month = Month()
    answer = office.get(path_of(month.school))
    reader = read(answer)
    assert_accessible(reader, language="de", title="Kontoauszug")
    text = squeezed(text_of(reader))
    owed = month.invoices[1]
    # By hand: two invoices of 117.50 less 150.00, of which 12.50 went back, and 17.50 given up.
    for words in (
        "Zeitraum 05.03.2026 bis 31.03.2026",
        "Saldovortrag 235,00",
        "05.03.2026 Zahlung -150,00 85,00",
        "10.03.2026 Rückzahlung Paid too much. 12,50 97,50",
        f"12.03.2026 Ausgebucht: Rechnung {owed.number} The hall was cold. -17,50 80,00",
        "Offene Rechnungen 100,00",
        "Abzüglich Ihres Guthabens -20,00",
        "Zu zahlen 80,00 €",
        f"{owed.number} 16.03.2026 15",
        IBAN,
    ):
        assert words in text, words
    assert office.get(path_of(month.school)).content == answer.content


def test_what_was_taken_back_is_called_so_and_a_credit_is_the_clients(office):
    month = Month()
    text = squeezed(text_of(read(office.get(path_of(month.choir, "opened_on=2026-03-01")))))
    number = month.invoices[2].number
    for words in (
        f"Invoice {number} due Mar 16, 2026 117.50 117.50",
        f"{number}: ",
        "Payment -70.50 0.00",
        "Payment taken back It bounced. 70.50 70.50",
        "To be paid €70.50",
    ):
        assert words in text, words
    Client.objects.filter(pk=month.choir.pk).update(language="en")
    month.paid(month.choir, 100, "cash", month.invoices[2].issued_on)
    text = squeezed(text_of(read(office.get(path_of(month.choir, "")))))
    assert "Less your credit -100.00" in text
    assert "In your favour €29.50" in text


def test_a_client_who_owes_nothing_reads_that_and_no_account_to_pay_to(office):
    ShopProfile.objects.update(iban=IBAN)
    site = SiteFactory(client__name="Marsh End Hall", street="Eel Lane 1", city="Marsh End")
    text = squeezed(text_of(read(office.get(path_of(site.client)))))
    # Without an address of their own.
    assert "Marsh End Hall Eel Lane 1 Marsh End" in text
    assert "Nothing is owed €0.00" in text
    assert "Open invoices" not in text
    assert IBAN not in text


def test_a_long_account_carries_its_balance_from_page_to_page(office):
    client = ClientFactory()
    InvoiceFactory.create_batch(60, client=client, issued=True)
    reader = read(office.get(path_of(client, "opened_on=2026-03-01&closed_on=2026-03-31")))
    pages = [squeezed(page.extract_text()) for page in reader.pages]
    seen = 0
    for number, page in enumerate(pages):
        brought = re.findall(r"Brought forward €([\d,.]+)", page)
        # By hand: each invoice is 117.50.
        assert brought == ([f"{seen * 117.5:,.2f}"] if number > 0 and seen < 60 else [])
        seen += page.count("due Mar 16, 2026")
    assert seen == 60
    assert "To be paid €7,050.00" in " ".join(pages)


def test_statements_are_for_the_office_and_of_a_period_that_there_is(office, technician, nobody):
    client = ClientFactory()
    backwards = office.get(path_of(client, "opened_on=2026-03-05&closed_on=2026-03-04"))
    assert backwards.status_code == 400
    assert technician.get(path_of(client)).status_code == 403
    assert nobody.get(path_of(client)).status_code == 401
