"""What a client may take or leave of a quote, and what was agreed."""

from decimal import Decimal

import pytest
from django.db import connection

from billing.models import Quote, QuoteAgreementTax, QuoteOption
from tests.factories.billing import (
    APPROVED,
    InvoiceFactory,
    InvoiceLineFactory,
    QuoteFactory,
    QuoteLineFactory,
)
from tests.factories.options import (
    QuoteAgreementFactory,
    QuoteAgreementTaxFactory,
    QuoteOptionFactory,
    QuoteOptionPartFactory,
)
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db

CENT = Decimal("0.01")
# The firm 100.00 and the option's 50.00, with 17.5 % of tax.
WITH_OPTION = {"net_total": Decimal(150), "tax_total": Decimal("26.25")}


@pytest.mark.parametrize(
    ("rule", "wrong", "right"),
    [
        ("billing_quoteagreement_totals_add_up", {"gross_total": Decimal("117.51")}, {}),
        (
            "billing_quoteagreement_totals_rounded",
            {"tax_total": Decimal("17.505")},
            {"tax_total": Decimal("17.5")},
        ),
        ("billing_quoteagreement_totals_not_negative", {"tax_total": -CENT}, {"tax_total": 0}),
        ("billing_quoteagreement_currency_code", {"currency": "eur"}, {"currency": "EUR"}),
        ("billing_quoteagreement_totals_tie", {"net_total": 100 + CENT}, {"net_total": 100}),
        ("billing_quoteagreement_of_approved", {"approved": False}, {}),
        ("billing_quoteagreement_of_approved", {"quote": lambda: QuoteFactory(approved=True)}, {}),
    ],
)
def test_an_agreement_says_what_an_approved_quote_with_options_came_to(rule, wrong, right):
    with refused(rule):
        QuoteAgreementFactory(**{k: v() if callable(v) else v for k, v in wrong.items()})
    with accepted():
        QuoteAgreementFactory(**right)


def test_a_quote_is_agreed_to_once_and_that_stands():
    agreement = QuoteAgreementFactory()
    with refused("billing_quoteagreement_quote_id_key"):
        QuoteAgreementFactory(quote=agreement.quote)
    rows = type(agreement).objects.filter(pk=agreement.pk)
    with refused("billing_quoteagreement_append_only"):
        rows.update(payable_total=1)
    with refused("billing_quoteagreementtax_append_only"):
        QuoteAgreementTax.objects.update(tax_amount=1)
    with refused("billing_quoteagreementtax_rate_once"):
        QuoteAgreementTaxFactory(agreement=agreement)
    with accepted():
        QuoteAgreementFactory()


@pytest.mark.parametrize(
    ("rule", "wrong", "right"),
    [
        (
            "billing_quoteagreementtax_amounts_sensible",
            {"tax_amount": -CENT},
            {"tax_amount": Decimal("17.5")},
        ),
        ("billing_quoteagreementtax_tax_known", {"tax_code": "AE"}, {"tax_code": "S"}),
    ],
)
def test_a_tax_agreed_to_is_known(rule, wrong, right):
    with refused(rule):
        QuoteAgreementTaxFactory(**wrong)
    with accepted():
        QuoteAgreementTaxFactory(**right)


@pytest.mark.parametrize(
    ("rule", "wrong", "right"),
    [
        ("billing_quoteoption_titled", {"title": ""}, {"title": "Felt"}),
        (
            "billing_quoteoption_totals_add_up",
            {"gross_total": Decimal("58.76")},
            {"gross_total": Decimal("58.75")},
        ),
        (
            "billing_quoteoption_totals_add_up",
            {"net_total": -CENT, "lines": []},
            {"net_total": 0, "tax_total": 0},
        ),
    ],
)
def test_an_option_has_a_title_and_a_price(rule, wrong, right):
    with refused(rule):
        QuoteOptionFactory(**wrong)
    with accepted():
        QuoteOptionFactory(**right)


def test_the_price_of_an_option_is_that_of_its_lines_and_no_part_of_the_quotes():
    with refused("billing_quoteoption_totals_tie"):
        QuoteOptionFactory(lines=[], quote=QuoteFactory())
    with refused("billing_quoteoption_position_once"):
        QuoteOptionFactory(lines=[], quote=QuoteOptionFactory().quote, net_total=0, tax_total=0)
    with refused("billing_quoteline_option_of_quote"):
        QuoteLineFactory(option=QuoteOptionFactory())
    with accepted():
        QuoteOptionFactory()


@pytest.mark.parametrize("column", ["title", "net_total", "is_default", "position"])
def test_what_an_option_promised_never_changes(column):
    option = QuoteOptionFactory()
    rows = QuoteOption.objects.filter(pk=option.pk)
    with refused("billing_quoteoption_promise_fixed"):
        rows.update(**{column: 7 if column != "is_default" else True})
    with refused("billing_quoteoption_promise_fixed"), connection.cursor() as cursor:
        cursor.execute("DELETE FROM billing_quoteoption WHERE id = %s", [option.pk])


def test_an_option_is_taken_by_the_agreement_that_counts_it():
    option = QuoteOptionFactory()
    rows = QuoteOption.objects.filter(pk=option.pk)
    with refused("billing_quoteoption_agreed_counts"):
        rows.update(agreement=QuoteAgreementFactory())
    with refused("billing_quoteagreement_totals_tie"):
        QuoteAgreementFactory(quote=option.quote, **WITH_OPTION)
    with accepted():
        agreement = QuoteAgreementFactory(quote=option.quote, **WITH_OPTION)
        rows.update(agreement=agreement)
    with refused("billing_quoteoption_promise_fixed"):
        rows.update(agreement=None)


def test_no_option_is_taken_once_the_quote_is_agreed_to():
    agreement = QuoteAgreementFactory()
    with accepted():
        pass
    with refused("billing_quoteoption_agreed_counts"):
        QuoteOption.objects.update(agreement=agreement)


def test_a_quote_with_options_is_approved_by_an_agreement():
    quote = Quote.objects.filter(pk=QuoteOptionFactory().quote_id)
    with refused("billing_quote_options_agreed"):
        quote.update(**APPROVED)
    with accepted():
        QuoteAgreementFactory(quote=quote.get())


def test_an_option_names_what_it_takes_of_a_part_once():
    first = QuoteOptionPartFactory()
    with refused("billing_quoteoptionpart_part_once"):
        QuoteOptionPartFactory(option=first.option, part=first.part)
    with refused("billing_quoteoptionpart_positive"):
        QuoteOptionPartFactory(quantity=0)
    with refused("billing_quoteoptionpart_append_only"):
        type(first).objects.update(quantity=9)
    with refused("billing_quoteoptionpart_all_at_once"):
        QuoteOptionPartFactory(option=first.option)
    with accepted():
        QuoteOptionPartFactory()


def test_no_option_and_no_tax_is_added_later():
    agreement = QuoteAgreementFactory()
    with refused("billing_quoteoption_all_at_once"):
        QuoteOptionFactory(quote=agreement.quote, position=2, lines=[], net_total=0, tax_total=0)
    with refused("billing_quoteagreementtax_all_at_once"):
        QuoteAgreementTaxFactory(
            agreement=agreement, tax_code="Z", tax_percent=0, taxable_amount=0, tax_amount=0
        )


def test_what_was_not_taken_is_not_invoiced():
    agreement = QuoteAgreementFactory()
    firm, optional = agreement.quote.lines.order_by("position")
    with refused("billing_invoiceline_agreed"):
        InvoiceLineFactory(quote_line=optional)
    with accepted():
        InvoiceLineFactory(quote_line=firm, invoice=InvoiceFactory(lines=[]))
