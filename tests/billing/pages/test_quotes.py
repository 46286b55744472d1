"""Quotes on paper, read back by a program that knows nothing of how they were made."""

import re
from decimal import Decimal

import pytest

from billing.models import BagLine, Quote
from diagnostics.models import Caution
from shop.models import ShopProfile
from tests.billing.approved_quotes import approved_quote
from tests.billing.conftest import make_workshop
from tests.callers import nobody, technician
from tests.documents import assert_accessible, read, squeezed, text_of
from tests.factories.billing import FollowUpFactory, QuoteFactory
from tests.factories.shop import ClientFactory

__all__ = ["nobody", "technician"]

pytestmark = pytest.mark.django_db


@pytest.fixture
def reedham(db):
    ShopProfile.objects.update(name="Reedham Pianos", country="DE")


def path_of(quote):
    return f"/quotes/{quote.pk}/pdf"


def printed(caller, quote):
    return read(caller.get(path_of(quote)))


def test_a_quote_says_what_it_costs_and_why_but_not_what_the_shelf_lacks(technician, reedham):
    workshop = make_workshop()
    Caution.objects.create(code="dust", name="Dust", text="Wear a mask.", topics=["general"])
    workshop.find([60, 61])
    answer = technician.post(f"/examinations/{workshop.examination.pk}/quote", {})
    quote = Quote.objects.get(pk=answer.json()["id"])
    assert BagLine.objects.filter(quote=quote).exists()

    text = squeezed(text_of(printed(technician, quote)))

    # By hand: the set-up takes (15 + 4 x 20 + 25) / 6 = 20 min, or 0.33 h at 60.00; two notes take
    # 8 min, or 0.13 h; two pins at 0.40; the way costs 25.00. In all 28 min, at best 21, at worst
    # 35: 0.35 or 0.58 h, which are 0.25 + 0.10 and 0.42 + 0.17 rounded each.
    client = quote.client
    for words in (
        f"Quote {quote.pk}",
        "Reedham Pianos",
        client.name,
        f"Instrument {workshop.examination.instrument}",
        "1 Action out 0,33 h 60,00 19,80",
        "2 Repin the hammer flange Notes: 2 0,13 h 60,00 7,80",
        "2 pcs 0,40 0,80",
        "Travel 1 pcs 25,00 25,00",
        "Total 53,40 €",
        "expected to take 0,5 hours; it may be 0,4 if all goes quickly, 0,6 if not.",
        "would be 46,80 € or 61,20 €.",
        "local consumer law",
        "Dust: Wear a mask.",
        "I accept this quote of 53,40 € and order the work.",
        "Signature",
    ):
        assert words in text, words
    assert "short" not in text


def test_a_revised_quote_says_what_was_taken_off_why_and_what_is_asked_for_on_which_terms(
    technician, reedham
):
    workshop = make_workshop()
    workshop.find([60, 61])
    path = f"/examinations/{workshop.examination.pk}/quote"
    first = technician.post(path, {}).json()
    revised = {
        "revise": True,
        "discounts": [{"fee": "travel", "percent": "20", "reason": "On the way"}],
        "discount": {"amount": "8.40", "reason": "Good custom"},
        "deposit": {"percent": "50"},
        "terms": "The room stays open to us.\nPayment within a week.",
    }
    answer = technician.post(path, revised)
    assert answer.status_code == 201, answer.content
    quote = Quote.objects.get(pk=answer.json()["id"])
    text = squeezed(text_of(printed(technician, quote)))
    # By hand: 53.40 less a fifth of 25.00 is 48.40, less 8.40 is 40.00, of which half is 20.00.
    for words in (
        f"Version 2, in place of quote {first['id']}",
        "Travel Less 5,00 (On the way, 20 %)",
        "Sum of the lines 48,40",
        "Good custom -8,40",
        "Total 40,00 €",
        "Of this, 20,00 € is asked for before the work begins.",
        "Terms The room stays open to us. Payment within a week.",
    ):
        assert words in text, words
    before = read(technician.get(f"/quotes/{first['id']}/pdf"))
    assert before.metadata.title == f"Quote {first['id']} (superseded by a new version)"


def test_a_client_who_reads_german_gets_it_in_german(technician, reedham):
    quote = QuoteFactory(
        client=ClientFactory(language="de"),
        plan="room_first",
        net_total=Decimal("1234.50"),
        tax_total=Decimal(0),
        minutes_low=60,
        minutes_likely=90,
        minutes_high=150,
    )
    due_on = FollowUpFactory(quote=quote).due_on
    reader = printed(technician, quote)
    assert_accessible(reader, language="de", title=f"Angebot {quote.pk}")
    text = squeezed(text_of(reader))
    for words in (
        "Deutschland",
        f"Datum {quote.made_at:%d.%m.%Y} Gültig bis 31.12.2099",
        "Gesamtbetrag 1.234,50 €",
        "sind 1,5 Std. veranschlagt; geht alles rasch, sind es 1, sonst bis zu 2,5.",
        "auf 80,00 € oder 140,00 €",
        f"Ab dem {due_on:%d.%m.%Y} sehen wir nach",
        "Unterschrift",
    ):
        assert words in text, words


@pytest.mark.parametrize(
    ("state", "title"),
    [
        ("withdrawn", "Quote {} (withdrawn)"),
        ("declined", "Quote {} (declined)"),
        ("expired", "Quote {} (expired)"),
        ("superseded", "Quote {} (superseded by a new version)"),
        ("approved", "Quote {}"),
        ("completed", "Quote {}"),
    ],
)
def test_a_quote_that_is_decided_says_so_and_is_not_signed_again(technician, state, title):
    quote = QuoteFactory(**{state: True})
    reader = printed(technician, quote)
    assert reader.metadata.title == title.format(quote.pk)
    text = squeezed(text_of(reader))
    assert "Signature" not in text
    assert ("Approved" in text) == (state in {"approved", "completed"})
    assert ("Approved The caretaker, " in text) == (state in {"approved", "completed"})


def test_a_hundred_lines_are_carried_and_the_same_quote_is_the_same_file(technician, reedham):
    lines = [(Decimal(1), Decimal(10), Decimal(0), "standard")] * 100
    quote = approved_quote(lines, terms="The room stays open to us.\n" * 60)
    answer = technician.get(path_of(quote))
    assert technician.get(path_of(quote)).content == answer.content
    assert f'filename="quote-{quote.pk}.pdf"' in answer["Content-Disposition"]
    pages = [squeezed(page.extract_text()) for page in read(answer).pages]
    carried = [re.findall(r"Carried forward ([\d.]+,\d\d)", page) for page in pages]
    brought = [re.findall(r"Brought forward ([\d.]+,\d\d)", page) for page in pages]
    assert len(pages) > 2
    assert carried[:2] == brought[1:3]
    # Its table has ended by then.
    assert "The room stays open" in pages[-1]
    assert brought[-1] == []
    assert sum(page.count("Ease a key") for page in pages) == 100
    # By hand: each line is 10.00, and 19 % of 1000.00 is 190.00.
    assert "Total 1.190,00 €" in " ".join(pages)


def test_quotes_are_for_those_who_work_here(nobody):
    assert nobody.get(path_of(QuoteFactory())).status_code == 401
