from datetime import timedelta

import pytest

from billing.models import ClientDecision
from tests.factories.billing import ClientDecisionFactory, QuoteFactory
from tests.factories.world import NOW
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db


def test_a_client_approves_or_declines():
    with refused("billing_clientdecision_as_quote"):
        ClientDecisionFactory(quote=QuoteFactory(declined=True), decision="approved", name="Wick")
    with accepted():
        ClientDecisionFactory(quote=QuoteFactory(declined=True), name="")
    with refused("billing_clientdecision_known"):
        ClientDecisionFactory(quote=QuoteFactory(withdrawn=True))


def test_whoever_approves_gives_a_name():
    nameless = QuoteFactory(approved=True)
    type(nameless).objects.filter(pk=nameless.pk).update(decided_by_name="")
    nameless.refresh_from_db()
    with refused("billing_clientdecision_approved_by_name"):
        ClientDecisionFactory(quote=nameless)


@pytest.mark.parametrize(
    "columns",
    [
        {"name": "Somebody else"},
        {"reason": "Because."},
        {"decided_at": NOW + timedelta(seconds=1)},
        {"decision": "declined"},
    ],
)
def test_a_decision_is_that_of_its_quote(columns):
    quote = QuoteFactory(approved=True)
    with refused("billing_clientdecision_as_quote"):
        ClientDecisionFactory(quote=quote, **columns)
    with accepted():
        ClientDecisionFactory(quote=quote)


def test_a_quote_is_decided_once():
    decision = ClientDecisionFactory()
    with refused("billing_clientdecision_quote_id_key"):
        ClientDecisionFactory(quote=decision.quote)


def test_a_digest_is_that_of_the_promise():
    quote = QuoteFactory(approved=True)
    with refused("billing_clientdecision_promise_hashed"):
        ClientDecisionFactory(quote=quote, promise="A tuned piano, and a new stool")
    with accepted():
        # FIPS 180-4, the digest of no message at all.
        ClientDecisionFactory(
            quote=quote,
            promise="",
            promise_sha256="e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
        )


def test_a_decision_stays_as_it_was_given():
    decision = ClientDecisionFactory()
    rows = ClientDecision.objects.filter(pk=decision.pk)
    with refused("billing_clientdecision_append_only"):
        rows.update(name="Somebody else")
    with refused("billing_clientdecision_append_only"):
        rows.delete()
