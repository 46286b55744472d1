"""Extra work on quotes."""

from decimal import Decimal

import pgtrigger
import pytest
from django.db import connection

from billing.models import Quote, QuoteChange
from tests.factories.billing import QuoteFactory
from tests.factories.changes import (
    QuoteChangeFactory,
    QuoteChangeLineFactory,
    QuoteChangePartFactory,
    QuoteChangeTaxFactory,
)
from tests.factories.diagnostics import RemedyFactory
from tests.factories.shop import PartFactory
from tests.factories.world import NOW
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db

CENT = Decimal("0.01")
DECIDED = {"decided_at": NOW, "decided_by_name": "The head"}


@pytest.mark.parametrize(
    ("rule", "wrong", "right"),
    [
        ("billing_quotechange_totals_add_up", {"gross_total": 117}, {"gross_total": "117.5"}),
        ("billing_quotechange_totals_rounded", {"tax_total": "17.505"}, {"tax_total": "17.51"}),
        ("billing_quotechange_totals_not_negative", {"net_total": -CENT}, {"net_total": CENT}),
        ("billing_quotechange_currency_code", {"currency": "eur"}, {"currency": "USD"}),
        ("billing_quotechange_reason_given", {"reason": ""}, {"reason": "It broke."}),
        (
            "billing_quotechange_within_tolerance",
            {"status": "tolerated", "tolerance_left": "99.99"},
            {"status": "tolerated", "tolerance_left": "100.00"},
        ),
        ("billing_quotechange_decided_when", {"decided_at": NOW}, {"decided_at": None}),
        ("billing_quotechange_status_first", {"status": "declined"}, {"status": "proposed"}),
    ],
)
def test_a_change_is_work_with_a_price_and_a_reason(rule, wrong, right):
    numbers = ("gross_total", "tax_total", "net_total")
    wrong, right = (
        {name: Decimal(value) if name in numbers else value for name, value in columns.items()}
        for columns in (wrong, right)
    )
    with refused(rule):
        QuoteChangeFactory(**wrong)
    with accepted():
        QuoteChangeFactory(**right)


def test_the_status_of_a_change_is_known():
    # The edges refuse an unknown status first; without them the column still does.
    with pgtrigger.ignore("billing.QuoteChange:billing_quotechange_status_first"):
        with refused("billing_quotechange_status_known"):
            QuoteChangeFactory(status="pondered")
        with accepted():
            QuoteChangeFactory(status="declined", decided_at=NOW)


@pytest.mark.parametrize("before", ["tolerated", "approved", "declined"])
def test_a_change_is_decided_once(before):
    with accepted():
        QuoteChange.objects.filter(pk=QuoteChangeFactory().pk).update(status="declined", **DECIDED)
        change = QuoteChange.objects.filter(pk=QuoteChangeFactory(**{before: True}).pk)
    for after in {"tolerated", "proposed", "approved", "declined"} - {before}:
        with refused("billing_quotechange_status_edge"):
            change.update(status=after, **DECIDED)


def test_who_approved_a_change_is_known_and_when():
    change = QuoteChange.objects.filter(pk=QuoteChangeFactory().pk)
    with refused("billing_quotechange_approved_by"):
        change.update(status="approved", **DECIDED | {"decided_by_name": ""})
    with refused("billing_quotechange_decided_when"):
        change.update(status="approved", **DECIDED | {"decided_at": None})
    with accepted():
        change.update(status="approved", **DECIDED)


@pytest.mark.parametrize("status", ["offered", "withdrawn", "completed"])
def test_work_is_added_to_an_approved_quote_alone(status):
    quote = QuoteFactory(**{} if status == "offered" else {status: True})
    with refused("billing_quotechange_quote_approved"):
        QuoteChangeFactory(quote=quote)
    change = QuoteChangeFactory()
    Quote.objects.filter(pk=change.quote.pk).update(status="withdrawn")
    with refused("billing_quotechange_quote_approved"):
        QuoteChange.objects.filter(pk=change.pk).update(status="declined", **DECIDED)


def test_a_job_is_not_done_while_a_change_is_undecided():
    change = QuoteChangeFactory()
    quote = Quote.objects.filter(pk=change.quote.pk)
    with refused("billing_quote_changes_decided"):
        quote.update(status="completed", completed_at=NOW)
    QuoteChange.objects.update(status="declined", **DECIDED)
    with accepted():
        quote.update(status="completed", completed_at=NOW)


def test_a_quote_numbers_its_changes():
    first = QuoteChangeFactory()
    with refused("billing_quotechange_number_once"):
        QuoteChangeFactory(quote=first.quote, number=first.number)
    with accepted():
        QuoteChangeFactory(number=first.number)


@pytest.mark.parametrize(
    "changed",
    [
        {"reason": "Another."},
        {"notes_midi": [61]},
        {"tolerance_left": 1},
        {"currency": "USD"},
        {"remedy": RemedyFactory},
    ],
    ids=lambda changed: next(iter(changed)),
)
def test_what_a_change_promised_never_changes(changed):
    change = QuoteChange.objects.filter(pk=QuoteChangeFactory().pk)
    columns = {name: new() if callable(new) else new for name, new in changed.items()}
    with refused("billing_quotechange_promise_fixed"):
        change.update(**columns)
    with accepted():
        change.update(decision_reason="Rang twice.")


def test_changes_are_kept():
    change = QuoteChangeFactory()
    with refused("billing_quotechange_kept"), connection.cursor() as cursor:
        cursor.execute("DELETE FROM billing_quotechange WHERE id = %s", [change.pk])
    with accepted():
        QuoteChange.objects.filter(pk=change.pk).update(status="declined", **DECIDED)


def test_the_totals_of_a_change_are_those_of_its_lines_and_taxes():
    with refused("billing_quotechange_totals_tie"):
        QuoteChangeLineFactory(net_amount=100 + CENT)
    with refused("billing_quotechange_totals_tie"):
        QuoteChangeTaxFactory(tax_amount=Decimal("17.51"))
    with refused("billing_quotechange_totals_tie"):
        QuoteChangeFactory(lines=[])
    with accepted():
        QuoteChangeLineFactory()
        QuoteChangeTaxFactory()
        QuoteChangeFactory(net_total=0, tax_total=0, lines=[], taxes=[])


@pytest.mark.parametrize(
    ("rule", "factory", "wrong", "right"),
    [
        (
            "billing_quotechangeline_kind_known",
            QuoteChangeLineFactory,
            {"kind": "tip"},
            {"kind": "part"},
        ),
        (
            "billing_quotechangeline_amounts_sensible",
            QuoteChangeLineFactory,
            {"discount_amount": -CENT},
            {"discount_amount": 0},
        ),
        (
            "billing_quotechangeline_discount_explained",
            QuoteChangeLineFactory,
            {"discount_amount": CENT},
            {"discount_amount": CENT, "discount_reason": "Good custom"},
        ),
        (
            "billing_quotechangeline_discount_percent",
            QuoteChangeLineFactory,
            {"discount_percent": Decimal("100.001")},
            {"discount_percent": 100},
        ),
        (
            "billing_quotechangeline_tax_known",
            QuoteChangeLineFactory,
            {"tax_code": "AE"},
            {"tax_code": "Z"},
        ),
        (
            "billing_quotechangetax_tax_known",
            QuoteChangeTaxFactory,
            {"tax_code": "AE"},
            {"tax_code": "Z"},
        ),
        (
            "billing_quotechangetax_amounts_sensible",
            QuoteChangeTaxFactory,
            {"tax_amount": -CENT},
            {"change__tax_total": 0},
        ),
        (
            "billing_quotechangepart_positive",
            QuoteChangePartFactory,
            {"wanted_quantity": 0},
            {"wanted_quantity": CENT},
        ),
    ],
)
def test_a_row_of_a_change_makes_sense(rule, factory, wrong, right):
    with refused(rule):
        factory(**wrong)
    with accepted():
        factory(**right)


@pytest.mark.parametrize(
    ("once", "at_once", "factory", "another"),
    [
        (
            "billing_quotechangeline_position_once",
            "billing_quotechangeline_all_at_once",
            QuoteChangeLineFactory,
            {"position": 2, "net_amount": 0},
        ),
        (
            "billing_quotechangetax_rate_once",
            "billing_quotechangetax_all_at_once",
            QuoteChangeTaxFactory,
            {"tax_code": "Z", "tax_percent": 0, "taxable_amount": 0, "tax_amount": 0},
        ),
        (
            "billing_quotechangepart_once",
            "billing_quotechangepart_all_at_once",
            QuoteChangePartFactory,
            {"part": PartFactory},
        ),
    ],
)
def test_a_change_keeps_the_rows_it_was_made_with(once, at_once, factory, another):
    with accepted():
        row = factory()
    same = {"part": row.part} if factory is QuoteChangePartFactory else {}
    with refused(once):
        factory(change=row.change, **same)
    with refused(at_once):
        factory(
            change=row.change,
            **{name: value() if callable(value) else value for name, value in another.items()},
        )


@pytest.mark.parametrize(
    ("rule", "factory", "column"),
    [
        ("billing_quotechangeline_append_only", QuoteChangeLineFactory, "description"),
        ("billing_quotechangetax_append_only", QuoteChangeTaxFactory, "exemption_reason"),
        ("billing_quotechangepart_append_only", QuoteChangePartFactory, "wanted_quantity"),
    ],
)
def test_the_rows_of_a_change_are_never_changed_or_removed(rule, factory, column):
    with accepted():
        row = factory()
    rows = type(row).objects.filter(pk=row.pk)
    with refused(rule):
        rows.update(**{column: "9"})
    with refused(rule):
        rows.delete()
