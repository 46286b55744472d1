"""What quotes and invoices have in common: totals, and what they add up."""

from decimal import Decimal

import pytest

from billing.models import Invoice, InvoiceAllowance, QuoteAllowance
from tests.factories.billing import (
    InvoiceAllowanceFactory,
    InvoiceFactory,
    InvoiceLineFactory,
    InvoiceTaxFactory,
    QuoteAllowanceFactory,
    QuoteFactory,
    QuoteLineFactory,
    QuoteTaxFactory,
    issued,
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


DOCUMENTS = pytest.mark.parametrize(
    ("kind", "factory", "allowance_factory"),
    [
        ("quote", QuoteFactory, QuoteAllowanceFactory),
        ("invoice", InvoiceFactory, InvoiceAllowanceFactory),
    ],
    ids=["quote", "invoice"],
)


@DOCUMENTS
@pytest.mark.parametrize(
    "apart",
    [
        {"line_total": 101},
        {"allowance_total": 1},
        {"charge_total": 1},
        {"rounding_amount": CENT, "payable_total": Decimal("117.50")},
        {"payable_total": Decimal("117.51")},
    ],
    ids=["lines", "allowances", "charges", "rounding", "payable"],
)
def test_totals_follow_each_other_to_what_is_to_be_paid(kind, factory, allowance_factory, apart):
    with refused(f"billing_{kind}_totals_add_up"):
        factory(**apart)
    with accepted():
        factory(rounding_amount=CENT, payable_total=Decimal("117.51"))


@DOCUMENTS
def test_allowances_and_charges_are_those_of_the_rows(kind, factory, allowance_factory):
    for apart in (CENT, -CENT):
        with refused(f"billing_{kind}_totals_tie"):
            allowance_factory(amount=10 + apart)
    with refused(f"billing_{kind}_totals_tie"):
        allowance_factory(is_charge=True)
    with accepted():
        allowance_factory()


@pytest.mark.parametrize(
    ("rules", "factory"),
    [
        (
            {
                "amount": "billing_quoteallowance_amount_positive",
                "reason": "billing_quoteallowance_reason_given",
                "percent": "billing_quoteallowance_percent_of_base",
                "tax": "billing_quoteallowance_tax_known",
            },
            QuoteAllowanceFactory,
        ),
        (
            {
                "amount": "billing_invoiceallowance_amount_positive",
                "reason": "billing_invoiceallowance_reason_given",
                "percent": "billing_invoiceallowance_percent_of_base",
                "tax": "billing_invoiceallowance_tax_known",
            },
            InvoiceAllowanceFactory,
        ),
    ],
    ids=["quote", "invoice"],
)
@pytest.mark.parametrize(
    ("rule", "wrong", "right"),
    [
        ("amount", {"amount": 0}, {"amount": 10}),
        ("reason", {"reason": ""}, {"reason": "Good custom"}),
        ("percent", {"percent": 10}, {"percent": 10, "base_amount": 100}),
        ("percent", {"percent": 101, "base_amount": 9}, {"percent": None}),
        ("tax", {"tax_code": "AE"}, {"tax_code": "Z"}),
    ],
)
def test_an_allowance_says_how_much_and_why(rules, factory, rule, wrong, right):
    with refused(rules[rule]):
        factory(**wrong)
    with accepted():
        factory(**right)


def test_a_quote_keeps_the_allowances_it_was_made_with():
    allowance = QuoteAllowanceFactory()
    rows = QuoteAllowance.objects.filter(pk=allowance.pk)
    with refused("billing_quoteallowance_append_only"):
        rows.update(reason="Better custom")
    with refused("billing_quoteallowance_all_at_once"):
        QuoteAllowanceFactory(quote=allowance.quote, position=2)
    columns = {"quote": QuoteFactory(), "tax_category": allowance.tax_category}
    twice = [QuoteAllowanceFactory.build(**columns) for _ in range(2)]
    with refused("billing_quoteallowance_position_once"):
        QuoteAllowance.objects.bulk_create(twice)
    with accepted():
        QuoteAllowanceFactory()


def test_allowances_of_an_issued_invoice_stand():
    allowance = InvoiceAllowanceFactory()
    rows = InvoiceAllowance.objects.filter(pk=allowance.pk)
    with accepted():
        rows.update(reason="Better custom")
    Invoice.objects.filter(pk=allowance.invoice_id).update(**issued())
    with refused("billing_invoiceallowance_issued_stays"):
        rows.update(reason="Best custom")
