from dataclasses import replace
from datetime import datetime, time, timedelta

import pytest
from django.core.signing import Signer
from django.test import Client as Browser
from django.utils import timezone

from billing.actions.client_decisions import Answer, CameFrom, client_decision_record
from billing.models import ClientDecision, Decision, Quote, QuoteAllowance
from billing.queries.promises import promise_of
from billing.queries.quote_links import offered_beside, quote_link, quote_link_read
from shop.errors import Refused
from shop.models import Client
from tests.billing.api.test_quotes import quoted, refused
from tests.billing.client_pages import YES, offered, read, send
from tests.factories.billing import QuoteFactory
from tests.factories.world import FAR_DAY


def test_a_link_opens_the_quote_until_the_end_of_its_last_day(technician, workshop):
    quote, _ = offered(technician, workshop)

    answer = technician.post(f"/quotes/{quote.pk}/link").json()

    page = read(answer["address"])
    assert f"Quote {quote.pk}" in page
    midnight = quote.valid_until + timedelta(days=1)
    assert answer["expires_at"] == f"{midnight}T00:00:00Z"  # the tests' time zone is UTC


def test_only_an_offered_quote_that_still_holds_has_a_link(technician):
    for quote in (QuoteFactory(approved=True), QuoteFactory(withdrawn=True)):
        refused(technician.post(f"/quotes/{quote.pk}/link"), 409, "quote-not-open")
    late = QuoteFactory(valid_until=timezone.localdate() - timedelta(days=1))
    refused(technician.post(f"/quotes/{late.pk}/link"), 409, "quote-expired")


def test_a_link_altered_by_one_character_opens_nothing(technician, workshop):
    quote, address = offered(technician, workshop)
    start, text = address.rsplit("/", 1)
    altered = [
        f"{text[:place]}{'B' if sign == 'A' else 'A'}{text[place + 1 :]}"
        for place, sign in enumerate(text)
    ]
    assert {quote_link_read(each) for each in [*altered, text[:-1], f"{text}A", ""]} == {None}
    assert quote_link_read(text).quote_id == quote.pk
    for each in (altered[0], altered[70], altered[-1]):
        assert send(f"{start}/{each}", YES).status_code == 404
        assert "incomplete or was altered" in read(f"{start}/{each}", 404)
    quote.refresh_from_db()
    assert quote.status == "offered"


def test_what_was_signed_for_another_purpose_opens_nothing(technician, workshop):
    _, address = offered(technician, workshop)
    text = address.rpartition("/")[2].rpartition(".")[0]
    for salt in ("", "billing.quote-link-2"):
        read(f"/approval/{Signer(salt=salt, sep='.').sign(text)}", 404)


def test_a_link_that_is_past_its_day_is_gone_and_tells_in_the_clients_language(
    technician, workshop
):
    quote, address = offered(technician, workshop)
    Quote.objects.filter(pk=quote.pk).update(status="expired")
    assert "This link has expired" in read(address, 410)
    assert send(address, YES).status_code == 410
    Client.objects.filter(pk=quote.client_id).update(language="de")
    assert "Dieser Link ist abgelaufen" in read(address, 410)


def test_a_link_that_is_past_its_day_still_tells_what_was_answered(db):
    quote = QuoteFactory(valid_until=FAR_DAY)
    link = quote_link(quote=quote, now=timezone.now())
    past = type(link)(link.quote_id, link.promise_sha256, timezone.now()).text
    assert send(f"/approval/{past}", YES).status_code == 410
    send(f"/approval/{link.text}", YES)
    page = read(f"/approval/{past}", 410)
    assert "Approved by Hester Wick on " in page
    assert "Repin" not in page


@pytest.mark.parametrize(("verb", "told"), [("withdraw", "withdrawn"), ("", "replaced by another")])
def test_a_quote_that_was_withdrawn_or_revised_is_gone(technician, workshop, verb, told):
    quote, address = offered(technician, workshop)
    if verb:
        technician.post(f"/quotes/{quote.pk}/{verb}")
    else:
        quoted(technician, workshop, revise=True)
    assert told in read(address, 410)
    assert send(address, YES).status_code == 410
    assert Browser().get(f"{address}/pdf").status_code == 410
    assert not ClientDecision.objects.exists()


def test_a_link_opens_no_other_promise_than_that_which_it_was_given_for(technician, workshop):
    first, second = QuoteFactory(), QuoteFactory()
    own = quote_link(quote=first, now=timezone.now())
    crossed = type(own)(second.pk, own.promise_sha256, own.expires_at)
    assert "replaced by another" in read(f"/approval/{crossed.text}", 410)


def test_a_link_is_given_and_another_plan_offered_until_the_last_day_is_over(db):
    quote = QuoteFactory(plan="now", valid_until=FAR_DAY)
    other = QuoteFactory(examination=quote.examination, plan="room_first", valid_until=FAR_DAY)
    midnight = timezone.make_aware(datetime.combine(FAR_DAY + timedelta(days=1), time()))
    before = midnight - timedelta(seconds=1)
    assert quote_link(quote=quote, now=before).expires_at == midnight
    assert [each for each, _ in offered_beside(quote, now=before)] == [other]
    with pytest.raises(Refused) as caught:
        quote_link(quote=quote, now=midnight)
    assert caught.value.code == "quote-expired"
    assert offered_beside(quote, now=midnight) == []


def test_what_a_link_did_not_promise_is_not_decided(db):
    quote, now = QuoteFactory(), timezone.now()
    link = replace(quote_link(quote=quote, now=now), promise_sha256="0" * 64)
    answer, came_from = Answer(Decision.APPROVED, "Hester Wick"), CameFrom(None, "")
    when = {"decided_at": now, "decided_on": now.date()}
    with pytest.raises(Refused) as caught:
        client_decision_record(link=link, answer=answer, came_from=came_from, **when)
    assert caught.value.code == "promise-differs"
    quote.refresh_from_db()
    assert quote.status == "offered"


def test_every_row_of_a_quote_is_part_of_its_promise(db):
    quote = QuoteFactory(lines__net_amount=110, line_total=110, allowance_total=10)
    before = promise_of(quote.pk)
    assert "Repin a hammer flange" in before
    assert promise_of(quote.pk) == before
    line = quote.lines.get()
    QuoteAllowance.objects.create(
        quote=quote,
        position=1,
        is_charge=False,
        reason="Good custom",
        amount=10,
        tax_category=line.tax_category,
        tax_code="S",
        tax_percent=line.tax_percent,
    )
    assert "Good custom" in promise_of(quote.pk)
