"""The lines and taxes of quotes and invoices."""

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
from tests.factories.shop import TaxCategoryFactory
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db

CENT = Decimal("0.01")


@pytest.mark.parametrize(
    ("rules", "factory"),
    [
        (
            {
                "kind": "billing_quoteline_kind_known",
                "amounts": "billing_quoteline_amounts_sensible",
                "tax": "billing_quoteline_tax_known",
                "reason": "billing_quoteline_discount_explained",
                "discount": "billing_quoteline_discount_percent",
            },
            QuoteLineFactory,
        ),
        (
            {
                "kind": "billing_invoiceline_kind_known",
                "amounts": "billing_invoiceline_amounts_sensible",
                "tax": "billing_invoiceline_tax_known",
                "reason": "billing_invoiceline_discount_explained",
                "discount": "billing_invoiceline_discount_percent",
            },
            InvoiceLineFactory,
        ),
    ],
    ids=["quote", "invoice"],
)
@pytest.mark.parametrize(
    ("rule", "wrong", "right"),
    [
        ("kind", {"kind": "tip"}, {"kind": "minimum"}),
        ("amounts", {"quantity": Decimal("-0.001")}, {"quantity": 0}),
        ("amounts", {"unit_price": Decimal("-0.0001")}, {"unit_price": 0}),
        ("amounts", {"discount_amount": -CENT}, {"discount_amount": 0}),
        ("amounts", {"net_amount": -CENT}, {"net_amount": 100}),
        # EN 16931-1, BR-41 and BR-42: a discount has an amount and a reason.
        ("reason", {"discount_amount": 1}, {"discount_amount": 1, "discount_reason": "Regular"}),
        ("discount", {"discount_percent": Decimal("100.001")}, {"discount_percent": 100}),
        # EN 16931-1, BT-151, as far as a repair shop meets it.
        ("tax", {"tax_code": "AE"}, {"tax_code": "Z"}),
        ("tax", {"tax_percent": Decimal("-0.001")}, {"tax_percent": 0}),
        ("tax", {"tax_percent": Decimal("100.001")}, {"tax_percent": 100}),
    ],
)
def test_a_line_charges_for_something(rules, factory, rule, wrong, right):
    with refused(rules[rule]):
        factory(**wrong)
    with accepted():
        factory(**right)


@pytest.mark.parametrize(
    ("rules", "factory"),
    [
        (
            {
                "amounts": "billing_quotetax_amounts_sensible",
                "tax": "billing_quotetax_tax_known",
            },
            QuoteTaxFactory,
        ),
        (
            {
                "amounts": "billing_invoicetax_amounts_sensible",
                "tax": "billing_invoicetax_tax_known",
            },
            InvoiceTaxFactory,
        ),
    ],
    ids=["quote", "invoice"],
)
@pytest.mark.parametrize(
    ("rule", "wrong", "right"),
    [
        ("amounts", {"taxable_amount": -CENT}, {"taxable_amount": 100}),
        ("amounts", {"tax_amount": -CENT}, {"tax_amount": Decimal("17.5")}),
        ("tax", {"tax_code": "AE"}, {"tax_code": "O"}),
        ("tax", {"tax_percent": Decimal("-0.001")}, {"tax_percent": 0}),
        ("tax", {"tax_percent": Decimal("100.001")}, {"tax_percent": 100}),
    ],
)
def test_a_tax_is_of_a_known_code_and_rate(rules, factory, rule, wrong, right):
    with refused(rules[rule]):
        factory(**wrong)
    with accepted():
        factory(**right)


@pytest.mark.parametrize(
    ("rule", "of", "document", "line"),
    [
        ("billing_quoteline_position_once", "quote", QuoteFactory, QuoteLineFactory),
        ("billing_invoiceline_position_once", "invoice", InvoiceFactory, InvoiceLineFactory),
    ],
)
def test_a_document_has_one_line_at_a_position(rule, of, document, line):
    halves = {"net_amount": 50, "tax_category": TaxCategoryFactory()}

    def add_lines_at(*positions):
        new = {of: document(lines=[])}
        rows = [line.build(**new, **halves, position=position) for position in positions]
        type(rows[0]).objects.bulk_create(rows)

    with refused(rule):
        add_lines_at(1, 1)
    with accepted():
        add_lines_at(1, 2)


@pytest.mark.parametrize(
    ("rule", "of", "document", "tax"),
    [
        ("billing_quotetax_rate_once", "quote", QuoteFactory, QuoteTaxFactory),
        ("billing_invoicetax_rate_once", "invoice", InvoiceFactory, InvoiceTaxFactory),
    ],
)
def test_a_document_sums_up_each_tax_once(rule, of, document, tax):
    halves = {"taxable_amount": 50, "tax_amount": Decimal("8.75")}

    def add_taxes_of(*codes_and_rates):
        new = {of: document(taxes=[])}
        rows = [
            tax.build(**new, **halves, tax_code=code, tax_percent=percent)
            for code, percent in codes_and_rates
        ]
        type(rows[0]).objects.bulk_create(rows)

    with refused(rule):
        add_taxes_of(("S", 6), ("S", 6))
    with accepted():
        add_taxes_of(("S", 6), ("S", 20))
    with accepted():
        add_taxes_of(("Z", 0), ("O", 0))
