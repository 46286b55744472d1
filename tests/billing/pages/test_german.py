"""A shop with the catalogue that ships, and a client who reads German."""

import re
from decimal import Decimal
from html import unescape
from io import StringIO

import pytest
from django.core.management import call_command

from billing.models import Fee, Quote
from diagnostics.models import Cause, Component, Fault, Remedy
from shop.models import Client, ShopProfile, Site, TaxCategory
from tests.billing.api.test_invoices import drafted, issued
from tests.billing.api.test_jobs import work
from tests.billing.api.test_price_previews import previewed
from tests.billing.api.test_quotes import quoted
from tests.billing.client_pages import page_of
from tests.billing.client_pages import read as page_read
from tests.billing.conftest import Workshop
from tests.callers import office, owner, technician
from tests.documents import read, squeezed, text_of
from tests.factories.diagnostics import ExaminationFactory
from tests.factories.shop import TaxRateFactory
from tests.shop.test_words import english_in

__all__ = ["office", "owner", "technician"]

OWN_NAME = "Slip eased with cork"
TERMS = {"deposit": {"percent": "50"}, "fees": ["travel", "inspection"]}


@pytest.fixture
def workshop(db):
    call_command("load_catalogue", stdout=StringIO())
    ShopProfile.objects.update(is_tax_registered=True, tax_number="DE123456789", country="DE")
    TaxRateFactory(category=TaxCategory.objects.get(code="standard"), percent=Decimal(19))
    Remedy.objects.filter(code="shim-key-slip-upright").update(name=OWN_NAME)
    found = Workshop(
        examination=ExaminationFactory(),
        fault=Fault.objects.get(code="slow-return"),
        cause=Cause.objects.get(code="u-ham"),
        repin=Remedy.objects.get(code="repin-hammer-butt-upright"),
        pins={},
    )
    Client.objects.update(language="de")
    Site.objects.update(country="DE")
    found.find([60, 61], component=Component.objects.get(code="hammer-butt-flange"))
    found.find([62], cause=Cause.objects.get(code="u-lead"))
    found.find([63], cause=Cause.objects.get(code="u-slip"))
    return found


def described(document):
    return [line["description"] for line in document["lines"]]


def text_on(page):
    """Return what a page says, and what its picture does, without its tags."""
    return unescape(re.sub("<[^>]+>", " ", page))


def test_lines_are_made_in_the_clients_language_and_stay_so(technician, office, workshop):
    option = {"remedies": ["repin-hammer-butt-upright"]}
    quote = quoted(technician, workshop, options=[option], **TERMS)

    made = described(quote)
    for words in (
        "Tasten oder Mechanik in die Werkstatt gebracht und zurück",
        "Aufgequollene Tastenbleie ersetzen",
        "Tastengewicht, bleifrei",
        "Weißleim (PVAc)",
        "Anfahrt, hin und zurück",
        "Besichtigung",
        OWN_NAME,
    ):
        assert words in made, words
    (offered,) = quote["options"]
    repin, pins = "Hammernusskapsel neu achsen (Klavier)", "Achsstifte, Stärke nach Befund"
    assert offered["title"] == repin
    assert described(offered) == [repin, pins]

    Client.objects.update(language="en")
    assert described(technician.get(f"/quotes/{quote['id']}").json()) == made
    revised = quoted(technician, workshop, revise=True, **TERMS)
    assert "Replace swollen key leads" in described(revised)


def test_page_paper_and_picture_say_it_in_german_with_the_letters_of_its_notes(
    technician, workshop
):
    workshop.find([59], component=None)
    quote = Quote.objects.get(pk=quoted(technician, workshop, **TERMS)["id"])
    paper = text_of(read(technician.get(f"/quotes/{quote.pk}/pdf")))
    page = text_on(page_read(page_of(quote)))
    assert english_in(paper) == english_in(page) == set()
    for words in (
        "88 Tasten, A0 bis C8",
        "Kommt langsam zurück: H3-D#4",
        "Ursache: Hammernusskapsel schwergängig (Klavier).",
        "alle 88 Töne angesehen, 5 Befunde, betroffen: 5 Töne (3 weiße, 2 schwarze)",
        "C4: Kommt langsam zurück, mittel (Hammernusskapsel und Achse)",
        "C4, Taste 40, 261,6 Hz",
        "mittel: stört beim Spielen",
        OWN_NAME,
    ):
        assert words in page, words
    for words in ("notes", "looked at", "moderate", "B3"):
        assert words not in page, words
    assert "Bleigewichte in Tasten: Bleigewichte, die aufgequollen" in squeezed(paper)


def test_deposit_extra_work_and_invoices_are_in_german_too(technician, office, workshop):
    quote = quoted(technician, workshop, approve=True, **TERMS)
    path = f"/quotes/{quote['id']}"
    deposit = issued(office, drafted(office, quote, "deposit-invoice"))
    assert described(deposit) == [f"Anzahlung zu Angebot {quote['id']}"]
    extra = {"remedy": "job-key-top", "notes": "C4", "reason": "Gesprungen"}
    change = technician.post(f"{path}/changes", extra)
    assert change.status_code == 201, change.content
    assert "Angeschlagenen oder fehlenden Tastenbelag ersetzen" in described(change.json())
    agreed = technician.post(
        f"/quote-changes/{change.json()['id']}/approve", {"approved_by": "Ilse"}
    )
    assert agreed.status_code == 200, agreed.content
    done = work(remedy="repin-hammer-butt-upright")
    assert technician.post(f"{path}/bench-work", done).status_code == 201
    assert technician.post(f"{path}/complete").status_code == 200
    final = issued(office, drafted(office, quote))
    assert described(final)[-1] == f"Abzüglich Anzahlungsrechnung {deposit['number']}"
    xml = office.get(f"/invoices/{final['id']}/xml").content.decode()
    for words in described(final):
        assert f"<ram:Name>{words}</ram:Name>" in xml
    paper = squeezed(text_of(read(office.get(f"/invoices/{final['id']}/pdf"))))
    assert english_in(paper) == english_in(xml) == set()
    assert "Hammernusskapsel neu achsen (Klavier)" in paper


def test_what_fees_would_come_to_is_told_of_german_lines_too(technician, owner, workshop):
    quoted(technician, workshop, **TERMS)
    dearer = Fee.objects.get(kind="travel").amount + 7
    (row,) = previewed(owner, fees=[{"kind": "travel", "amount": str(dearer)}])["items"]
    assert row["difference"] == "7.00"
    assert Quote.objects.get().lines.filter(description="Anfahrt, hin und zurück").exists()
