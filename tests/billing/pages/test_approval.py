import re

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from billing.models import ClientDecision, Quote
from billing.queries.promises import promise_of
from diagnostics.models import Examination, Fault
from shop.models import ShopProfile
from tests import documents
from tests.billing.api.test_quotes import at, quoted
from tests.billing.client_pages import NO, YES, offered, page_of, read, send
from tests.billing.conftest import make_damp, make_workshop
from tests.callers import caller_with
from tests.documents import squeezed
from tests.factories.diagnostics import CautionFactory, ExaminationFactory
from tests.factories.shop import LogoFactory
from tests.factories.world import main_shelf
from tests.together import at_once


def test_the_page_tells_what_was_found_what_is_proposed_and_why_and_the_price(technician, workshop):
    CautionFactory(name="An <upright> tips", text="Two people.", topics=["general"])
    Fault.objects.update(description="It comes back late.")
    Examination.objects.update(complaint="Some <keys> stick.")
    workshop.find([72], cause=None)
    _, address = offered(technician, workshop, leave_out_undecided=True)
    page = read(address)
    assert "<q>Some &lt;keys&gt; stick.</q>" in page
    assert "Slow return: C4-D4, C5" in page
    assert "It comes back late." in page
    assert page.count('class="key"') == 88
    assert "<h3>Repin the hammer flange</h3>" in page
    assert f"Slow return on C4-D4. Cause: {workshop.cause.name}." in page
    # As in test_a_quote_is_costed_from_the_findings, where these are reckoned by hand.
    assert "<h3>Not in this quote</h3>\n<ul><li>Slow return on C5.</li></ul>" in page
    assert "Approve for €58.00" in page
    assert "the total before tax would be €50.20 or €66.40" in page
    assert "0.2 h × 60.00" in page
    assert "An &lt;upright&gt; tips" in page
    assert "short" not in page


def test_the_page_tells_the_deposit_the_discount_and_the_terms(technician, workshop):
    discount = {"percent": "10", "reason": "For the choir"}
    terms = "Paid <at> once.\n\nNo stool."
    body = {"discount": discount, "deposit": {"percent": "50"}, "terms": terms}
    _, address = offered(technician, workshop, **body)
    page = read(address)
    # 10 % of 58.00 is 5.80, and half of what is left 26.10.
    assert "For the choir" in page
    assert "Approve for €52.20" in page
    assert "Of this, €26.10 is asked for before the work begins." in page
    assert "<p>Paid &lt;at&gt; once.</p>" in page
    assert "<p>No stool.</p>" in page


def test_the_picture_is_of_what_the_quote_rests_on_whatever_is_found_later(technician, workshop):
    _, address = offered(technician, workshop)
    workshop.find([70], fault__name="Rattles")
    assert "Rattles" not in read(address)


def two_plans(technician, damp):
    """The pages of repairing now and of treating the room first."""
    damp.find(range(40, 52))
    now, room_first = (
        quoted(technician, damp, plan=plan, alternative=True)["id"]
        for plan in ("now", "room_first")
    )
    return [page_of(Quote.objects.get(pk=pk)) for pk in (now, room_first)]


def test_of_two_plans_each_page_leads_to_the_other_until_one_is_approved(technician, damp):
    now, room_first = two_plans(technician, damp)
    assert f'<a href="{room_first}">Treat the room first and look again, €' in read(now)
    assert f'<a href="{now}">Repair everything at once, €' in read(room_first)
    assert "Not yet: the room first" not in read(now)
    later = squeezed(read(room_first)).partition("<h3>Not yet: the room first</h3>")[2]
    assert re.match(r" <p>[^<]* We look again from \w+ \d+, \d{4} on", later)
    assert f"on E2-D#3. Cause: {damp.cause.name}." in later
    assert send(room_first, YES).status_code == 303
    assert now not in read(room_first)
    assert send(now, YES).status_code == 410
    assert ClientDecision.objects.get().quote.plan == "room_first"


def test_the_link_opens_the_quote_as_pdf_too(technician, workshop):
    _, address = offered(technician, workshop)
    answer = Client().get(f"{address}/pdf")
    assert (answer["Cache-Control"], answer["X-Robots-Tag"]) == ("no-store", "noindex")
    assert "Repin the hammer flange" in documents.text_of(documents.read(answer))
    read(f"{address[:-1]}/pdf", 404)


def test_a_page_is_in_the_clients_language(technician, workshop):
    quote, address = offered(technician, workshop)
    quote.client.language = "de"
    quote.client.save()
    page = read(address)
    assert '<html lang="de">' in page
    assert "Für 58,00\xa0€ zahlungspflichtig beauftragen" in page
    # The reason is stored in English, as it came with the quote.
    assert (
        quote.taxes.get().exemption_reason
        == "No tax is charged, since we are not registered for it."
    )
    assert "Es wird keine Umsatzsteuer berechnet" in page
    assert "No tax is charged" not in page


def test_an_approval_records_who_when_from_where_and_exactly_what(technician, workshop, office):
    quote, address = offered(technician, workshop)
    promised, before = promise_of(quote.pk), timezone.now()

    answer = send(address, YES, User_Agent="Browser " + "x" * 300)

    assert (answer.status_code, answer["Location"]) == (303, address)
    assert "Approved by Hester Wick on " in read(address)
    (kept,) = office.get(f"/client-decisions?quote={quote.pk}").json()["items"]
    whole = office.get(f"/client-decisions/{kept['id']}").json()
    assert whole == kept | {"promise": promised}
    assert (kept["decision"], kept["name"], kept["reason"]) == ("approved", "Hester Wick", "")
    assert before.isoformat() <= kept["decided_at"].replace("Z", "+00:00")
    assert (kept["address"], len(kept["user_agent"])) == ("127.0.0.1", 200)
    assert kept["promise_sha256"] in address
    stored = technician.get(f"/quotes/{quote.pk}").json()
    assert (stored["status"], stored["decided_by_name"]) == ("approved", "Hester Wick")


def test_declining_puts_the_parts_back_and_keeps_the_reason(technician, workshop):
    before = at(main_shelf())
    quote, address = offered(technician, workshop)

    assert send(address, NO).status_code == 303

    page = read(address)
    assert "Declined on " in page
    assert "Too dear." in page
    assert at(main_shelf()) == before
    assert ClientDecision.objects.get(quote=quote).reason == "Too dear."


def test_a_reason_in_many_lines_is_as_long_as_the_page_lets_it_be(technician, workshop):
    quote, address = offered(technician, workshop)
    # HTML, "Constructing the entry list" and "maxlength": a line's end is sent as CR and LF, and
    # counted as one character; so these are 1199 sent, and 799 of the 1000 that fit.
    assert send(address, NO | {"reason": "\r\n".join(["x"] * 400)}).status_code == 303
    assert ClientDecision.objects.get(quote=quote).reason == "\n".join(["x"] * 400)


@pytest.mark.parametrize(("form", "other"), [(YES, NO), (NO, YES)])
def test_the_same_form_again_changes_nothing_and_another_is_refused(
    technician, workshop, form, other
):
    quote, address = offered(technician, workshop)
    assert [send(address, form).status_code for _ in range(3)] == [303, 303, 303]
    refusal = send(address, other)
    assert refusal.status_code == 409
    assert "already been answered otherwise" in refusal.content.decode()
    assert send(address, YES | {"name": "Somebody else"}).status_code == 409
    assert ClientDecision.objects.get(quote=quote).decision == form["decision"]


def test_a_quote_that_the_shop_was_told_about_is_not_answered_again(technician, workshop):
    quote, address = offered(technician, workshop)
    technician.post(f"/quotes/{quote.pk}/approve", {"approved_by": "Hester Wick"})
    assert send(address, YES).status_code == 409
    page = read(address)
    assert "Approved by Hester Wick on " in page
    assert "<form" not in page
    assert not ClientDecision.objects.exists()


@pytest.mark.parametrize(
    "form",
    [
        {"decision": "approved", "name": "  "},
        {"decision": "approved", "name": "x" * 201},
        {"decision": "approved", "name": "Hester\x00Wick"},
        {"decision": "declined", "reason": "x" * 1001},
        {"decision": "perhaps"},
        {},
    ],
)
def test_a_form_that_nobody_can_mean_changes_nothing(technician, workshop, form, caplog):
    quote, address = offered(technician, workshop)
    answer = send(address, form)
    assert answer.status_code == 400
    assert "Please type your name" in answer.content.decode()
    assert address not in caplog.text
    quote.refresh_from_db()
    assert quote.status == "offered"


@pytest.mark.parametrize("form", [None, YES, {"decision": "approved"}])
def test_a_page_keeps_to_itself(technician, workshop, form):
    _, address = offered(technician, workshop)
    for where in (address, address[:-1]):
        # A check of forged forms would refuse a form without a cookie's token.
        browser = Client(enforce_csrf_checks=True)
        answer = browser.post(where, form) if form else browser.get(where)
        policy = answer["Content-Security-Policy"]
        assert policy.startswith("default-src 'none'; style-src 'self' 'sha256-")
        assert "unsafe" not in policy
        assert answer["Cache-Control"] == "no-store"
        assert answer["Referrer-Policy"] == "no-referrer"
        assert answer["X-Robots-Tag"] == "noindex"
        assert answer["X-Frame-Options"] == "DENY"
        assert not answer.cookies
        page = answer.content.decode()
        assert not re.findall(r"<script|javascript:|\son\w+=|\sstyle=", page)
        own = {"/static/billing/client.css", f"{address}/pdf"}
        assert set(re.findall(r'(?:src|href)="([^"#]*)"', page)) <= own


def test_another_method_is_refused(technician, workshop):
    _, address = offered(technician, workshop)
    assert Client().head(address).status_code == 200
    assert {Client().put(address).status_code, Client().delete(address).status_code} == {405}


@pytest.mark.parametrize(
    ("is_behind_tls", "forwarded", "kept"),
    [
        (False, "198.51.100.9", "127.0.0.1"),
        (True, "203.0.113.1, 198.51.100.9", "198.51.100.9"),
        (True, "203.0.113.1, nonsense", None),
        (True, "", "127.0.0.1"),
    ],
)
def test_the_address_is_that_which_the_shops_own_proxy_saw(
    technician, workshop, settings, is_behind_tls, forwarded, kept
):
    quote, address = offered(technician, workshop)
    settings.HTTPS = is_behind_tls
    send(address, NO, X_Forwarded_For=forwarded)
    assert ClientDecision.objects.get(quote=quote).address == kept


def test_a_page_costs_the_same_for_three_findings_and_for_forty(technician, workshop):
    def statements(address):
        with CaptureQueriesContext(connection) as captured:
            read(address)
        return len(captured)

    _, address = offered(technician, workshop)
    of_three = statements(address)
    workshop.find(range(63, 100))
    more = Quote.objects.get(pk=quoted(technician, workshop, revise=True)["id"])
    assert statements(page_of(more)) == of_three <= 20


def test_a_page_names_the_shop_and_how_to_ask(technician, workshop):
    address_of = {"city": "Reedham", "postcode": "RE1 1DH", "country": "GB"}
    ShopProfile.objects.update(name="Bell & Daughters", phone="+44 1632 960999", **address_of)
    _, address = offered(technician, workshop)
    for page in (read(address), read(address[:-1], 404)):
        assert "Bell &amp; Daughters" in page
        assert "Reedham RE1 1DH<br>+44 1632 960999" in page


def test_a_page_shows_the_shops_logo_where_there_is_one(technician, workshop):
    _, address = offered(technician, workshop)
    assert "<img" not in read(address)
    assert Client().get(f"{address}/logo").status_code == 404
    logo = LogoFactory()
    assert f'<img src="{address}/logo" alt="The piano repair shop">' in read(address)
    answer = Client().get(f"{address}/logo")
    assert (answer["Content-Type"], answer.content) == (logo.media_type, logo.content)
    assert "sandbox" in answer["Content-Security-Policy"]
    assert Client().get(f"{address[:-1]}/logo").status_code == 404


def test_of_approvals_at_once_one_counts(committed_database):
    workshop, caller = make_damp(make_workshop()), caller_with("technician")
    pages = two_plans(caller, workshop)
    statuses = at_once(6, lambda index: send(pages[index % 2], YES).status_code)
    # Whoever comes later to the other plan finds it withdrawn.
    assert sorted(statuses) == [303] * 3 + [410] * 3
    assert ClientDecision.objects.count() == 1

    for names in (["Hester Wick"], ["Hester Wick", "Agnes Wick"]):
        workshop.examination = ExaminationFactory(technician=caller.user)
        quote, address = offered(caller, workshop)
        forms = [YES | {"name": name} for name in names * (6 // len(names))]

        answers = at_once(6, lambda index: send(address, forms[index]))  # noqa: B023

        decision = ClientDecision.objects.get(quote=quote)
        statuses = [303 if form["name"] == decision.name else 409 for form in forms]
        assert [answer.status_code for answer in answers] == statuses
