from datetime import date, timedelta
from decimal import Decimal

import pgtrigger
import pytest
from django.db import connection

from billing.models import Quote, QuoteStatus
from billing.models.quotes import PROMISED
from shop.models import Place
from tests.factories.billing import (
    NextQuoteFactory,
    QuoteFactory,
)
from tests.factories.diagnostics import ExaminationFactory
from tests.factories.shop import ClientFactory, PlaceFactory, UserFactory
from tests.factories.world import NOW, TODAY
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db

DECIDED = {"decided_at": NOW, "decided_on": TODAY}
COMPLETED = {"status": "completed", "completed_at": NOW}


def test_a_quote_has_a_status_that_is_known():
    # The edges refuse an unknown status first; without them the column still does.
    with pgtrigger.ignore("billing.Quote:billing_quote_status_first"):
        with refused("billing_quote_status_known"):
            QuoteFactory(status="pondered")
        with accepted():
            QuoteFactory(status="declined")


def test_a_quote_starts_offered():
    with refused("billing_quote_status_first"):
        QuoteFactory(status="approved", **DECIDED)
    with accepted():
        QuoteFactory(status="offered")


EDGES = {
    "offered": {"approved", "declined", "withdrawn", "expired", "superseded"},
    "approved": {"withdrawn", "completed", "superseded"},
    "declined": set(),
    "withdrawn": set(),
    "expired": set(),
    "superseded": set(),
    "completed": set(),
}


@pytest.mark.parametrize("before", EDGES)
@pytest.mark.parametrize("after", EDGES)
def test_a_quote_moves_along_its_edges_alone(before, after):
    quote = QuoteFactory(**{} if before == "offered" else {before: True})
    columns = DECIDED | {"status": after}
    if "completed" in (before, after):
        columns["completed_at"] = NOW
    if after in EDGES[before] or after == before:
        with accepted():
            Quote.objects.filter(pk=quote.pk).update(**columns)
            if after == "superseded" != before:
                NextQuoteFactory(supersedes=quote)
    else:
        with refused("billing_quote_status_edge"):
            Quote.objects.filter(pk=quote.pk).update(**columns)


def test_every_status_is_among_the_edges():
    assert set(EDGES) == set(QuoteStatus.values)


@pytest.mark.parametrize(
    "missing",
    [
        {"decided_on": TODAY + timedelta(days=1)},
        {"decided_on": None},
        {"decided_at": None},
    ],
    ids=["the day after its last", "on no day", "at no time"],
)
def test_a_quote_is_approved_until_its_last_day(missing):
    quote = Quote.objects.filter(pk=QuoteFactory(valid_until=TODAY).pk)
    with refused("billing_quote_approved_in_time"):
        quote.update(status="approved", **DECIDED | missing)
    with accepted():
        quote.update(status="approved", **DECIDED)
    with refused("billing_quote_approved_in_time"):
        quote.update(**COMPLETED, **DECIDED | missing)
    with accepted():
        quote.update(**COMPLETED)


def test_a_completed_quote_and_no_other_says_when_it_was():
    quote = Quote.objects.filter(pk=QuoteFactory(approved=True).pk)
    with refused("billing_quote_completed_when"):
        quote.update(status="completed")
    with refused("billing_quote_completed_when"):
        quote.update(completed_at=NOW)
    with accepted():
        quote.update(**COMPLETED)


@pytest.mark.parametrize("closed", ["declined", "withdrawn", "expired", "completed"])
def test_an_examination_has_one_open_quote_of_a_plan(closed):
    examination = ExaminationFactory()
    QuoteFactory(examination=examination, **{closed: True})
    QuoteFactory(examination=examination)
    with refused("billing_quote_one_open"):
        QuoteFactory(examination=examination)
    with accepted():
        QuoteFactory(examination=ExaminationFactory())
        QuoteFactory(examination=examination, plan="room_first")


def test_an_approved_quote_has_no_open_one_beside_it():
    first = QuoteFactory(approved=True)
    beside = {"examination": first.examination, "plan": "room_first"}
    with refused("billing_quote_approved_alone"):
        QuoteFactory(**beside)
    Quote.objects.filter(pk=first.pk).update(status="withdrawn")
    second, third = QuoteFactory(**beside), QuoteFactory(examination=first.examination)
    rows = Quote.objects.filter(pk=second.pk)
    with refused("billing_quote_approved_alone"):
        rows.update(status="approved", **DECIDED)
    Quote.objects.filter(pk=third.pk).update(status="withdrawn")
    with accepted():
        rows.update(status="approved", **DECIDED)


def test_a_quote_is_of_a_known_plan():
    with refused("billing_quote_plan_known"):
        QuoteFactory(plan="never")
    with accepted():
        QuoteFactory(plan="room_first")


def test_a_job_bag_belongs_to_one_quote():
    quote = QuoteFactory()
    with refused("billing_quote_bag_once"):
        QuoteFactory(bag=quote.bag)
    with accepted():
        QuoteFactory(bag=PlaceFactory(bag=True))


def revise(quote):
    Quote.objects.filter(pk=quote.pk).update(status="superseded")


def test_a_version_follows_the_last_with_its_job_bag():
    quote = QuoteFactory()
    with refused("billing_quote_supersedes_last"):
        NextQuoteFactory(supersedes=quote)
    with accepted():
        revise(quote)
        NextQuoteFactory(supersedes=quote)


@pytest.mark.parametrize("same", ["examination", "bag", "version"])
def test_a_version_is_of_the_same_job_and_the_next(same):
    wrong = {"examination": ExaminationFactory, "bag": PlaceFactory, "version": lambda: 3}[same]()
    quote = QuoteFactory()
    with refused("billing_quote_supersedes_last"):
        revise(quote)
        NextQuoteFactory(supersedes=quote, **{same: wrong})


def test_a_quote_is_superseded_by_one_that_follows():
    quote = QuoteFactory()
    with refused("billing_quote_superseded_by_next"):
        revise(quote)
    with accepted():
        revise(quote)
        second = NextQuoteFactory(supersedes=quote)
        Quote.objects.filter(pk=second.pk).update(status="withdrawn")
    with refused("billing_quote_supersedes_id_key"):
        NextQuoteFactory(supersedes=quote, bag=quote.bag)


@pytest.mark.parametrize(
    ("wrong", "right"),
    [
        ({"deposit_amount": Decimal("117.51")}, {"deposit_amount": Decimal("117.5")}),
        ({"deposit_amount": -1}, {"deposit_amount": 0}),
        ({"deposit_percent": 101}, {"deposit_percent": 100}),
    ],
)
def test_a_deposit_is_at_most_what_is_to_be_paid(wrong, right):
    with refused("billing_quote_deposit_within"):
        QuoteFactory(**wrong)
    with accepted():
        QuoteFactory(**right)


def test_only_a_later_version_supersedes():
    quote = QuoteFactory()
    with refused("billing_quote_version_counted"):
        QuoteFactory(version=2)
    with refused("billing_quote_supersedes_last"):
        revise(quote)
        NextQuoteFactory(supersedes=quote, version=1)
    with accepted():
        QuoteFactory(version=1)


CHANGED = {
    "examination_id": lambda: ExaminationFactory().pk,
    "client_id": lambda: ClientFactory().pk,
    "plan": lambda: "room_first",
    "version": lambda: 2,
    "supersedes_id": lambda: QuoteFactory().pk,
    "bag_id": lambda: PlaceFactory(bag=True).pk,
    "from_place_id": lambda: Place.objects.get(kind="supplier").pk,
    "made_at": lambda: NOW + timedelta(seconds=1),
    "made_by_id": lambda: UserFactory().pk,
    "valid_until": lambda: date(2100, 1, 1),
    "currency": lambda: "JPY",
    "minor_units": lambda: 3,
    "line_total": lambda: 101,
    "allowance_total": lambda: 1,
    "charge_total": lambda: 1,
    "net_total": lambda: 101,
    "tax_total": lambda: 18,
    "gross_total": lambda: 118,
    "rounding_amount": lambda: Decimal("0.01"),
    "payable_total": lambda: 118,
    "net_low": lambda: 79,
    "net_high": lambda: 141,
    "minutes_low": lambda: 69,
    "minutes_likely": lambda: 96,
    "minutes_high": lambda: 151,
    "diagnosis": lambda: {"findings": ["moths"]},
    "deposit_percent": lambda: 10,
    "deposit_amount": lambda: 10,
    "terms": lambda: "Cash.",
}
FREE = {
    "id",
    "status",
    "decided_at",
    "decided_on",
    "decided_by_name",
    "decision_reason",
    "completed_at",
}


@pytest.mark.parametrize("column", CHANGED)
def test_what_a_quote_promised_never_changes(column):
    quote = Quote.objects.filter(pk=QuoteFactory().pk)
    with refused("billing_quote_promise_fixed"):
        quote.update(**{column: CHANGED[column]()})
    with accepted():
        quote.update(decided_by_name="The caretaker", decision_reason="Rang twice.")


def test_every_column_of_a_quote_is_promised_or_free():
    columns = {field.column for field in Quote._meta.local_concrete_fields}
    assert set(CHANGED) == set(PROMISED) == columns - FREE


def test_quotes_are_kept():
    quote = QuoteFactory()
    with refused("billing_quote_kept"), connection.cursor() as cursor:
        cursor.execute("DELETE FROM billing_quote WHERE id = %s", [quote.pk])
    with accepted():
        Quote.objects.filter(pk=quote.pk).update(status="withdrawn")
