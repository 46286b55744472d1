"""The lines, taxes and bag lines of quotes."""

import pytest

from billing.models import BagLine, Quote
from tests.factories.billing import (
    BagLineFactory,
    QuoteFactory,
    QuoteLineFactory,
    QuoteTaxFactory,
)
from tests.factories.shop import PartFactory
from tests.factories.world import stock
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "factory", "column"),
    [
        ("billing_quoteline_append_only", QuoteLineFactory, "description"),
        ("billing_quotetax_append_only", QuoteTaxFactory, "exemption_reason"),
    ],
)
def test_the_rows_of_a_quote_are_never_changed_or_removed(rule, factory, column):
    with accepted():
        row = factory()
    rows = type(row).objects.filter(pk=row.pk)
    with refused(rule):
        rows.update(**{column: "9"})
    with refused(rule):
        rows.delete()


@pytest.mark.parametrize(
    ("rule", "factory", "free_of_charge"),
    [
        (
            "billing_quoteline_all_at_once",
            QuoteLineFactory,
            {"position": 2, "net_amount": 0},
        ),
        (
            "billing_quotetax_all_at_once",
            QuoteTaxFactory,
            {"tax_code": "Z", "tax_percent": 0, "taxable_amount": 0, "tax_amount": 0},
        ),
    ],
)
def test_a_quote_keeps_the_rows_it_was_made_with(rule, factory, free_of_charge):
    with accepted():
        row = factory()
    with refused(rule):
        factory(quote=row.quote, **free_of_charge)


@pytest.mark.parametrize(
    ("wrong", "right"),
    [
        ({"wanted_quantity": 0, "taken_quantity": 0}, {"wanted_quantity": 1, "taken_quantity": 0}),
        ({"wanted_quantity": 3, "taken_quantity": -1}, {"wanted_quantity": 3, "taken_quantity": 0}),
        ({"wanted_quantity": 3, "taken_quantity": 4}, {"wanted_quantity": 3, "taken_quantity": 3}),
    ],
)
def test_a_bag_takes_no_more_than_the_work_wants(wrong, right):
    with refused("billing_bagline_taken_within_wanted"):
        BagLineFactory(**wrong)
    with accepted():
        BagLineFactory(**right)


def test_a_bag_is_never_to_hold_less_or_something_else():
    line = BagLineFactory(wanted_quantity=5)
    rows = BagLine.objects.filter(pk=line.pk)
    others = {"wanted_quantity": 4, "part": PartFactory(), "quote": QuoteFactory()}
    for column, value in others.items():
        with refused("billing_bagline_wanted_kept"):
            rows.update(**{column: value})
    with refused("billing_bagline_kept"):
        rows.delete()
    with accepted():
        rows.update(wanted_quantity=7)


def test_a_bag_line_says_what_the_bag_of_an_open_quote_holds():
    line = BagLineFactory(wanted_quantity=5, taken_quantity=0)
    rows = BagLine.objects.filter(pk=line.pk)
    with refused("billing_bagline_taken_in_bag"):
        rows.update(taken_quantity=2)
    stock(line.part, 2, 1, place=line.quote.bag)
    with refused("billing_bagline_taken_in_bag"):
        rows.update(taken_quantity=3)
    with accepted():
        rows.update(taken_quantity=2)
    stock(line.part, 1, 1, place=line.quote.bag)
    Quote.objects.filter(pk=line.quote.pk).update(status="withdrawn")
    with refused("billing_bagline_taken_in_bag"):
        rows.update(taken_quantity=3)


def test_a_bag_names_a_part_once():
    first = BagLineFactory()
    with refused("billing_bagline_part_once"):
        BagLineFactory(quote=first.quote, part=first.part)
    with accepted():
        BagLineFactory(quote=first.quote, part=PartFactory())
        BagLineFactory(quote=QuoteFactory(), part=first.part)
    assert BagLine.objects.count() == 3
