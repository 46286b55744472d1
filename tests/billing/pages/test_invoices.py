"""Invoices and credit notes on paper, and the XML that goes with them."""

import re
from decimal import Decimal

import pytest
from facturx import get_facturx_xml_from_pdf
from lxml import etree

from billing.actions.credit_notes import invoice_credit
from billing.actions.invoice_drafts import invoice_draft
from billing.actions.invoices import invoice_adjust, invoice_issue
from billing.models import Quote
from billing.rules.allowances import Adjustment
from shop.models import Client, ShopProfile
from tests.billing.approved_quotes import approved_quote
from tests.callers import nobody, office, technician
from tests.documents import assert_accessible, metadata_of, read, squeezed, text_of
from tests.factories.shop import UserFactory
from tests.factories.world import NOW, TODAY

__all__ = ["nobody", "office", "technician"]

pytestmark = pytest.mark.django_db

# The example account of the IBAN registry (SWIFT), Germany.
IBAN = "DE89370400440532013000"
HOUR = (Decimal("1.5"), Decimal(60), Decimal(10), "standard")
PIECES = (Decimal(3), Decimal("0.40"), Decimal(0), "reduced")
RDF = "{http://www.w3.org/1999/02/22-rdf-syntax-ns#}"
FX = "{urn:factur-x:pdfa:CrossIndustryDocument:invoice:1p0#}"
PROPERTY = "{http://www.aiim.org/pdfa/ns/property#}"


@pytest.fixture
def registered(db):
    ShopProfile.objects.update(
        name="Reedham Pianos",
        is_tax_registered=True,
        tax_number="DE123456789",
        country="DE",
        iban=IBAN,
        payment_terms="Half of it may wait a week.",
    )


def a_draft(lines=(HOUR, PIECES), **client):
    quote = approved_quote(lines, **client)
    Quote.objects.filter(pk=quote.pk).update(status="completed", completed_at=NOW)
    return invoice_draft(quote=quote, drafted_at=NOW, drafted_by=UserFactory())


def an_invoice(lines=(HOUR, PIECES), **client):
    return invoice_issue(invoice=a_draft(lines, **client), issued_on=TODAY)


def a_credit_note(invoice):
    note = invoice_credit(
        invoice=invoice,
        reason="Rattles still",
        wanted=None,
        drafted_at=NOW,
        drafted_by=UserFactory(),
    )
    return invoice_issue(invoice=note, issued_on=TODAY)


def path_of(invoice):
    return f"/invoices/{invoice.pk}/pdf"


def printed(office, invoice):
    return read(office.get(path_of(invoice)))


def test_an_invoice_says_all_that_is_in_it_and_how_to_pay(office, registered):
    invoice = a_draft(name="Eel Lane School", language="en")
    adjustment = Adjustment(is_charge=False, reason="Good custom", percent=Decimal(10))
    invoice_adjust(invoice=invoice, adjustment=adjustment)
    invoice = invoice_issue(invoice=invoice, issued_on=TODAY)
    text = squeezed(text_of(printed(office, invoice)))
    # By hand: 1.5 h at 60.00 less 10 % is 81.00, 3 at 0.40 is 1.20; 10 % off each leaves 72.90
    # and 1.08, on which 19 % is 13.85 and 7 % is 0.08. English as it is written in Germany (CLDR).
    for words in (
        f"Invoice {invoice.number}",
        "Reedham Pianos",
        "Eel Lane School",
        "01234 Marsh End",
        "1 Ease a key & <its> neighbour Less 9,00 (Good custom, 10 %) 1,5 h 60,00 19 % 81,00",
        "2 Ease a key & <its> neighbour 3 h 0,40 7 % 1,20",
        "Sum of the lines 82,20",
        "Good custom (10 % of 81,00) -8,10",
        "Good custom (10 % of 1,20) -0,12",
        "Total before tax 73,98",
        "Tax 19 % on 72,90 13,85",
        "Tax 7 % on 1,08 0,08",
        "To be paid 87,91 €",
        "Our tax number DE123456789",
        f"quoting {invoice.reference}",
        IBAN,
        "Half of it may wait a week.",
    ):
        assert words in text, words


def test_a_client_who_reads_german_gets_it_in_german(office, registered):
    many = (Decimal(20), Decimal("61.725"), Decimal(0), "standard")
    invoice = an_invoice([many], language="de")
    reader = printed(office, invoice)
    assert_accessible(reader, language="de", title=f"Rechnung {invoice.number}")
    text = squeezed(text_of(reader))
    # By hand: 20 h at 61.725 is 1234.50, and 19 % of that 234.56, halves rounded up.
    for words in (
        f"Datum {TODAY:%d.%m.%Y}",
        "1 Ease a key & <its> neighbour 20 Std. 61,725 19 % 1.234,50",
        "Summe ohne Steuer 1.234,50",
        "USt. 19 % auf 1.234,50 234,56",
        "Zu zahlen 1.469,06 €",
        f"Bitte zahlen Sie 1.469,06 € bis zum {invoice.due_on:%d.%m.%Y}",
    ):
        assert words in text, words


def test_a_credit_note_names_what_it_corrects_and_asks_for_nothing(office, registered):
    invoice = an_invoice(language="en")
    note = a_credit_note(invoice)
    text = squeezed(text_of(printed(office, note)))
    assert f"Credit note {note.number}" in text
    assert f"Corrects invoice {invoice.number} of" in text
    assert "Reason Rattles still" in text
    # By hand: 81.00 with 19 % is 96.39, 1.20 with 7 % is 1.28.
    assert "Credited 97,67 €" in text
    assert "Please pay" not in text
    assert "Payment due" not in text


def test_a_draft_says_that_it_is_one_and_carries_no_xml(office, registered):
    draft = a_draft(language="en")
    reader = printed(office, draft)
    assert "Invoice (draft)" in text_of(reader)
    assert not reader.attachments


@pytest.mark.parametrize("make", [an_invoice, lambda: a_credit_note(an_invoice())])
def test_what_is_issued_carries_the_same_xml_that_the_api_answers(office, registered, make):
    invoice = make()
    answer = office.get(path_of(invoice))
    name, xml = get_facturx_xml_from_pdf(answer.content, check_xsd=True)
    assert name == "factur-x.xml"
    assert xml == office.get(f"/invoices/{invoice.pk}/xml").content


def test_the_file_says_what_it_carries_as_the_standards_want_it(office, registered):
    invoice = an_invoice()
    reader = printed(office, invoice)
    assert_accessible(reader, language="en", title=f"Invoice {invoice.number}")
    root = reader.trailer["/Root"]
    # ISO 19005-3, 6.6.4, 6.2.3 and 6.8: its own claim, a colour space, files related.
    metadata = metadata_of(reader)
    assert "pdfaid:part>3<" in metadata
    assert "pdfaid:conformance>B<" in metadata
    assert root["/OutputIntents"][0]["/S"] == "/GTS_PDFA1"
    assert "/Filter" not in root["/Metadata"]
    (attached,) = (each.get_object() for each in root["/AF"])
    # ZUGFeRD 2.1, technical supplement A, 2.2.2 (as quoted in public): of the profile EN 16931.
    assert attached["/AFRelationship"] == "/Alternative"
    assert attached["/UF"] == "factur-x.xml"
    assert attached["/EF"]["/F"]["/Subtype"] == "/text/xml"
    # Factur-X 1.0, 6.2: what it says of itself.
    tree = etree.fromstring(metadata.encode())
    said = {each.tag: each.text for each in tree.iter() if str(each.tag).startswith(FX)}
    assert said == {
        f"{FX}DocumentType": "INVOICE",
        f"{FX}DocumentFileName": "factur-x.xml",
        f"{FX}Version": "1.0",
        f"{FX}ConformanceLevel": "EN 16931",
    }
    # ISO 19005-3, 6.6.2.3: properties that the standard does not know are declared.
    declared = {each.text for each in tree.iter(f"{PROPERTY}name")}
    assert {name.removeprefix(FX) for name in said} <= declared


def test_the_same_invoice_is_the_same_file_each_time_whatever_becomes_of_the_client(
    office, registered
):
    invoice = an_invoice()
    first = office.get(path_of(invoice))
    Client.objects.update(name="Somebody else", language="de")
    ShopProfile.objects.update(name="Sedge Pianos", language="de")
    again = office.get(path_of(invoice))
    assert again.content == first.content
    assert again["ETag"] == first["ETag"]
    assert f'filename="{invoice.number}.pdf"' in first["Content-Disposition"]
    assert office.get(path_of(invoice), If_None_Match=first["ETag"]).status_code == 304


def test_a_shop_without_a_tax_number_sends_plain_pdf(office):
    reader = printed(office, an_invoice())
    assert not reader.attachments
    assert "pdfaid" not in metadata_of(reader)


def test_a_name_that_the_fonts_lack_is_printed_with_gaps_and_nothing_is_claimed(office, registered):
    reader = printed(office, an_invoice(name="琴 School"))
    assert "School" in text_of(reader)
    assert not reader.attachments
    assert "pdfaid" not in metadata_of(reader)


def test_a_hundred_lines_are_carried_from_page_to_page(office, registered):
    line = (Decimal(1), Decimal(10), Decimal(0), "standard")
    reader = printed(office, an_invoice([line] * 100, language="de"))
    pages = [squeezed(page.extract_text()) for page in reader.pages]
    assert len(pages) > 2
    printed_lines = 0
    for number, page in enumerate(pages):
        brought = re.findall(r"Übertrag ([\d.]+,\d\d) €", page)
        # By hand: each line is 10.00, and German writes a point after the thousand.
        so_far = f"{printed_lines * 10:,}".replace(",", ".")
        assert brought == ([f"{so_far},00"] if number else [])
        printed_lines += page.count("Ease a key")
        carried = re.findall(r"Zwischensumme ([\d.]+,\d\d) €", page)
        is_last = printed_lines == 100
        assert carried == ([] if is_last else [f"{printed_lines * 10},00"])
        assert f"{number + 1} / {len(pages)}" in page
    assert "Zu zahlen 1.190,00 €" in pages[-1]


def test_invoices_are_for_the_office(nobody, technician, registered):
    invoice = an_invoice()
    assert nobody.get(path_of(invoice)).status_code == 401
    assert technician.get(path_of(invoice)).status_code == 403
