"""The options of a quote as the client sees them, ticks them and has them on paper."""

import pytest
from django.test import Client

from billing.models import ClientDecision, Fee, LabourRate, Quote, QuoteOption
from diagnostics.models import Cause, Caution, Component, Fault, Remedy, SetUp
from shop.models import Part, ShopProfile
from tests import documents
from tests.billing.api.test_quote_options import CLEAN, FELT, with_wishes
from tests.billing.api.test_quotes import quoted
from tests.billing.client_pages import page_of, read, send
from tests.factories.diagnostics import FindingFactory


@pytest.fixture
def offer(technician, workshop):
    """A quote of 58.00 with felt for 85.00 and, by default, cleaning for 12.00; its page."""
    ShopProfile.objects.update(quote_terms="Half by Friday.", deposit_percent=50)
    felt = FELT | {"title": "New <felt>"}
    quote = quoted(technician, with_wishes(workshop), options=[felt, CLEAN])
    return quote, page_of(Quote.objects.get(pk=quote["id"]))


def answer(*options):
    return {"decision": "approved", "name": "H. Wick", "options": list(options)}


def taken():
    rows = QuoteOption.objects.filter(agreement__isnull=False)
    return list(rows.values_list("position", flat=True))


def test_options_are_boxes_to_tick_and_no_part_of_the_price(offer):
    page = read(offer[1])
    assert "Approve for €58.00, and what is ticked" in page
    assert 'value="1"> New &lt;felt&gt;: + €85.00' in page
    assert 'value="2" checked> Clean the action: + €12.00' in page
    assert "Half by Friday." in page
    assert "<h3>Renew the felt (if you like)</h3>" in page
    assert "<h3>Repin the hammer flange</h3>" in page


def test_what_is_ticked_is_agreed_and_nothing_else(offer):
    _, address = offer
    again = send(address, answer("1") | {"name": ""}).content.decode()
    assert 'value="1" checked> New &lt;felt&gt;' in again
    assert 'value="2"> Clean the action' in again
    send(address, answer("1"))
    send(address, answer("1"))
    assert (taken(), ClientDecision.objects.count()) == ([1], 1)
    assert send(address, answer("1", "2")).status_code == 409
    page = read(address)
    assert "143.00" in page
    # It would be that of the firm part alone, which this exceeds.
    assert "total before tax would be" in again
    assert "total before tax would be" not in page
    assert "<h3>Renew the felt</h3>" in page
    assert "Clean the action" not in page


def test_nothing_ticked_is_nothing_taken(offer):
    send(offer[1], answer())
    assert taken() == []


def test_the_paper_says_what_may_be_ticked_and_then_what_was_agreed(technician, offer):
    quote, address = offer
    path = f"/quotes/{quote['id']}/pdf"
    text = documents.squeezed(documents.text_of(documents.read(technician.get(path))))
    assert "New <felt>: €85.00 more on the total" in text
    assert "Clean the action: €12.00 more on the total; strike it out if you do not want" in text
    assert "quote of €58.00, and what is ticked above, and order the work." in text
    assert (
        "Of this, €29.00 is asked for before the work begins. Of each option that you take" in text
    )
    assert "Half by Friday." in text
    assert "Renew the felt" not in text
    send(address, answer("1"))
    text = documents.text_of(documents.read(technician.get(path)))
    assert "Renew the felt" in text
    assert "143.00" in text
    assert "New <felt>: €85.00" not in text
    # Half of what was agreed, 58.00 and 85.00.
    for told in (documents.squeezed(text), read(address)):
        assert "Of this, €71.50 is asked for before the work begins." in told
        assert "Of each option" not in told
    assert Client().get(f"{address}/pdf").status_code == 200


def test_no_word_of_a_quote_changes_with_the_catalogue(technician, workshop):
    Fault.objects.update(description="The note comes back late.")
    Caution.objects.create(code="dust", name="Dust", text="Wear a mask.", topics=["general"])
    FindingFactory(examination=workshop.examination, note_midi=70, fault__description="It buzzes.")
    terms = {"options": [FELT, CLEAN], "leave_out_undecided": True}
    quote = Quote.objects.get(pk=quoted(technician, with_wishes(workshop), **terms)["id"])
    address, path = page_of(quote), f"/quotes/{quote.pk}"

    def told():
        answer = technician.get(path).json()
        shown = [answer[name] for name in ("diagnosis", "lines", "options", "cautions")]
        pdf = documents.read(technician.get(f"{path}/pdf"))
        return read(address), documents.text_of(pdf), shown

    before = told()
    for word in (
        "The note comes back late.",
        "It buzzes.",
        "Wear a mask.",
        "Renew the felt (if you like)",
    ):
        assert word in before[0]

    Caution.objects.update(name="Noise", text="Wear plugs.")
    Fault.objects.update(description="The note is late.")
    for model in (Remedy, SetUp, Cause, Component, Part, Fee, LabourRate):
        model.objects.update(name="Another name")

    assert told() == before
