"""What quotes and invoices have in common: totals, and what they add up."""

from decimal import Decimal

import pytest

from tests.factories.billing import (
    InvoiceFactory,
    InvoiceLineFactory,
    InvoiceTaxFactory,
    QuoteFactory,
    QuoteLineFactory,
    QuoteTaxFactory,
)
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db

CENT = Decimal("0.01")


@pytest.mark.parametrize(
    ("rule", "factory"),
    [
        ("billing_quote_totals_add_up", QuoteFactory),
        ("billing_invoice_totals_add_up", InvoiceFactory),
    ],
)
def test_the_total_with_tax_is_the_total_without_and_the_tax(rule, factory):
    for gross in (Decimal("117.49"), Decimal("117.51"), Decimal(100)):
        with refused(rule):
            factory(net_total=100, tax_total=Decimal("17.5"), gross_total=gross)
    with accepted():
        factory(net_total=100, tax_total=Decimal("17.5"), gross_total=Decimal("117.5"))


@pytest.mark.parametrize(
    ("rule", "factory"),
    [
        ("billing_quote_totals_rounded", QuoteFactory),
        ("billing_invoice_totals_rounded", InvoiceFactory),
    ],
)
@pytest.mark.parametrize("total", ["net_total", "tax_total"])
def test_totals_have_the_decimals_of_the_currency(rule, factory, total):
    with refused(rule):
        factory(**{total: Decimal("17.505")})
    with accepted():
        factory(minor_units=3, currency="BHD", **{total: Decimal("17.505")})


@pytest.mark.parametrize(
    ("rule", "factory"),
    [
        ("billing_quote_totals_not_negative", QuoteFactory),
        ("billing_invoice_totals_not_negative", InvoiceFactory),
    ],
)
@pytest.mark.parametrize("total", ["net_total", "tax_total"])
def test_totals_are_not_negative(rule, factory, total):
    with refused(rule):
        factory(**{total: -CENT})
    with accepted():
        factory(**{total: 0})


@pytest.mark.parametrize(
    ("rule", "factory"),
    [
        ("billing_quote_currency_code", QuoteFactory),
        ("billing_invoice_currency_code", InvoiceFactory),
    ],
)
@pytest.mark.parametrize(
    ("wrong", "right"),
    [
        # Three capital letters; the finest currencies have three decimals. Source: ISO 4217.
        ({"currency": "eur"}, {"currency": "EUR"}),
        ({"currency": "€"}, {"currency": "JPY", "minor_units": 0, "tax_total": 17}),
        ({"minor_units": 4}, {"currency": "KWD", "minor_units": 3}),
    ],
)
def test_a_document_is_in_one_currency(rule, factory, wrong, right):
    with refused(rule):
        factory(**wrong)
    with accepted():
        factory(**right)


@pytest.mark.parametrize(
    ("rule", "factory", "line_factory", "tax_factory"),
    [
        ("billing_quote_totals_tie", QuoteFactory, QuoteLineFactory, QuoteTaxFactory),
        ("billing_invoice_totals_tie", InvoiceFactory, InvoiceLineFactory, InvoiceTaxFactory),
    ],
)
@pytest.mark.parametrize("apart", [CENT, -CENT])
def test_totals_are_those_of_the_lines_and_taxes(rule, factory, line_factory, tax_factory, apart):
    of = "quote" if factory is QuoteFactory else "invoice"
    with refused(rule):
        line_factory(**{of: factory(lines=[]), "net_amount": 100 + apart})
    with refused(rule):
        tax_factory(**{of: factory(taxes=[]), "taxable_amount": 100 + apart})
    with refused(rule):
        tax_factory(**{of: factory(taxes=[]), "tax_amount": Decimal("17.5") + apart})
    with accepted():
        line_factory()
        tax_factory()


@pytest.mark.parametrize(
    ("rule", "factory"),
    [
        ("billing_quote_totals_tie", QuoteFactory),
        ("billing_invoice_totals_tie", InvoiceFactory),
    ],
)
def test_a_document_without_lines_costs_nothing(rule, factory):
    with refused(rule):
        factory(lines=[])
    with refused(rule):
        factory(taxes=[])
    with accepted():
        factory(net_total=0, tax_total=0, lines=[], taxes=[])
