"""Every invoice and credit note keeps the published rules of EN 16931, and exact sums beside."""

import re
from decimal import ROUND_HALF_UP, Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from lxml import etree

from billing.actions.credit_notes import invoice_credit
from billing.actions.invoice_drafts import invoice_deposit_draft, invoice_draft
from billing.actions.invoices import invoice_adjust, invoice_issue
from billing.models import Quote
from billing.queries.e_invoices import e_invoice
from billing.queries.invoices import invoices_in_full
from billing.rules.allowances import Adjustment
from billing.rules.cii import NAMESPACES, cross_industry_invoice
from shop.models import ShopProfile
from tests.billing.approved_quotes import TAXES, approved_quote
from tests.billing.en16931 import broken_rules
from tests.callers import nobody, office, technician
from tests.factories.shop import UserFactory
from tests.factories.world import NOW, TODAY

__all__ = ["nobody", "office", "technician"]

pytestmark = pytest.mark.django_db

CENT = Decimal("0.01")
HALF_A_CENT = Decimal("0.005")
# The example account of the IBAN registry (SWIFT), Germany.
IBAN = "DE89370400440532013000"


@pytest.fixture
def registered(db):
    ShopProfile.objects.update(
        is_tax_registered=True, tax_number="DE123456789", country="DE", iban=IBAN
    )


def xml_of(draft):
    invoice_issue(invoice=draft, issued_on=TODAY)
    return cross_industry_invoice(e_invoice(invoices_in_full().get(pk=draft.pk)))


def sums_are_exact(xml):
    """Recompute from the XML alone what the published rules leave loose: BR-CO-17 to the cent."""
    root = etree.fromstring(xml)

    def value(element, path):
        found = element.find(path, NAMESPACES)
        return Decimal(found.text) if found is not None else Decimal(0)

    def cents(amount):
        return amount.quantize(CENT, ROUND_HALF_UP)

    for line in root.iterfind(".//ram:IncludedSupplyChainTradeLineItem", NAMESPACES):
        quantity, price = value(line, ".//ram:BilledQuantity"), value(line, ".//ram:ChargeAmount")
        discount = value(line, ".//ram:ActualAmount")
        assert value(line, ".//ram:LineTotalAmount") == cents(quantity * price) - discount
    settlement = root.find(".//ram:ApplicableHeaderTradeSettlement", NAMESPACES)
    for tax in settlement.iterfind("ram:ApplicableTradeTax", NAMESPACES):
        percent = value(tax, "ram:RateApplicablePercent")
        exact = value(tax, "ram:BasisAmount") * percent / 100
        yield abs(value(tax, "ram:CalculatedAmount") - exact)


hours = st.decimals("0.01", 40, places=2)
prices = st.decimals("0.01", 500, places=4)
discounts = st.sampled_from([Decimal(0), Decimal(10), Decimal("33.333")])
quoted_lines = st.lists(
    st.tuples(hours, prices, discounts, st.sampled_from(sorted(TAXES))), min_size=1, max_size=6
)

adjustments = st.sampled_from(
    [
        None,
        Adjustment("Custom", percent=Decimal(5)),
        Adjustment("Custom", percent=Decimal("12.5")),
        Adjustment("Ferry", percent=Decimal("12.5"), is_charge=True),
        Adjustment("Ferry", amount=Decimal("7.77"), is_charge=True),
    ]
)


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    quoted_lines,
    st.sampled_from([Decimal(0), Decimal(10), Decimal("33.3")]),
    adjustments,
    st.integers(0, 100),
)
def test_whatever_is_billed_keeps_the_rules_to_the_cent(
    registered, lines, deposit_percent, adjustment, credited_percent
):
    quote, user = approved_quote(lines), UserFactory()
    by = {"drafted_at": NOW, "drafted_by": user}
    deposit = (quote.payable_total * deposit_percent / 100).quantize(CENT)
    if deposit:
        xml = xml_of(invoice_deposit_draft(quote=quote, amount=deposit, **by))
        assert broken_rules(xml) == set()
        assert max(sums_are_exact(xml)) <= HALF_A_CENT
    Quote.objects.filter(pk=quote.pk).update(status="completed", completed_at=NOW)
    final = invoice_draft(quote=quote, **by)
    # Of lines over less, a percentage may come to nothing.
    is_adjusted = adjustment and not deposit and final.line_total >= 1
    if is_adjusted:
        invoice_adjust(invoice=final, adjustment=adjustment)
    xml = xml_of(final)
    assert broken_rules(xml) == set()
    assert max(sums_are_exact(xml)) <= HALF_A_CENT
    final.refresh_from_db()
    if not is_adjusted:
        assert final.payable_total + deposit == quote.payable_total
    first = final.lines.first()
    # What a deposit was taken off of is credited in whole.
    part = (first.net_amount * (0 if deposit else credited_percent) / 100).quantize(CENT)
    for wanted in ({1: part}, None) if 0 < part < first.net_amount else (None,):
        if not final.net_total:
            break
        note = invoice_credit(invoice=final, reason="Too dear", wanted=wanted, **by)
        xml = xml_of(note)
        assert broken_rules(xml) == set()
        # The last of several credits takes the cent that rounding left of the tax.
        assert max(sums_are_exact(xml)) <= Decimal("0.015")


@pytest.fixture
def sample(registered):
    """The XML of an invoice with two rates, a discount and an allowance."""
    quote = approved_quote(
        [
            (Decimal("1.5"), Decimal(60), Decimal(10), "standard"),
            (Decimal(3), Decimal("0.40"), Decimal(0), "reduced"),
        ]
    )
    Quote.objects.filter(pk=quote.pk).update(status="completed", completed_at=NOW)
    draft = invoice_draft(quote=quote, drafted_at=NOW, drafted_by=UserFactory())
    invoice_adjust(
        invoice=draft,
        adjustment=Adjustment(is_charge=False, reason="Custom", percent=Decimal(10)),
    )
    return xml_of(draft).decode()


SUMMATION = "SpecifiedTradeSettlementHeaderMonetarySummation"


def more(xml, name, by, within=SUMMATION):
    """Return `xml` with the first amount called `name` inside `within` raised."""
    head, tail = xml.split(f"<ram:{within}>", 1)
    pattern = rf"(<ram:{name}[^>]*>)([^<]+)"
    changed, count = re.subn(
        pattern, lambda found: f"{found[1]}{Decimal(found[2]) + Decimal(by)}", tail, count=1
    )
    assert count == 1
    return f"{head}<ram:{within}>{changed}"


def without(xml, pattern):
    changed, count = re.subn(pattern, "", xml, flags=re.DOTALL)
    assert count
    return changed


@pytest.mark.parametrize(
    ("broken", "rule"),
    [
        # Source of the names: EN 16931-1, business rules.
        (lambda xml: more(xml, "GrandTotalAmount", "0.01"), "BR-CO-15"),
        (lambda xml: more(xml, "LineTotalAmount", "0.01"), "BR-CO-10"),
        (lambda xml: more(xml, "TaxBasisTotalAmount", "0.01"), "BR-CO-13"),
        (lambda xml: more(xml, "TaxTotalAmount", "0.01"), "BR-CO-14"),
        (lambda xml: more(xml, "DuePayableAmount", "0.01"), "BR-CO-16"),
        (lambda xml: more(xml, "AllowanceTotalAmount", "0.01"), "BR-CO-11"),
        (
            lambda xml: more(xml, "BasisAmount", "0.02", "ApplicableHeaderTradeSettlement"),
            "BR-S-08",
        ),
        (lambda xml: more(xml, "GrandTotalAmount", "0.001"), "BR-DEC-14"),
        # The currency's code list, BR-CL-04, under the name it has in this release.
        (lambda xml: xml.replace(">EUR<", ">XXY<"), "FX-SCH-A-000595"),
        (
            lambda xml: more(xml, "CalculatedAmount", "0.02", "ApplicableHeaderTradeSettlement"),
            "BR-CO-14",
        ),
        (lambda xml: xml.replace(">19<", ">0<"), "BR-S-05"),
        (lambda xml: without(xml, r"<ram:Reason>Custom</ram:Reason>"), "BR-33"),
        (
            lambda xml: without(xml, r"<ram:SpecifiedTaxRegistration>.*?</ram:SpecifiedTax.*?>"),
            "BR-S-02",
        ),
        (lambda xml: without(xml, r"<ram:Name>The piano repair shop</ram:Name>"), "BR-06"),
        # What BR-05 and BR-09 ask for, the schema of this profile asks for already.
        (lambda xml: without(xml, r"<ram:CountryID>DE</ram:CountryID>"), "XSD"),
        (lambda xml: without(xml, r"<ram:InvoiceCurrencyCode>EUR</.*?>"), "XSD"),
        (lambda xml: re.sub(r"(<ram:GrandTotalAmount>)[^<]+", r"\1abc", xml), "XSD"),
    ],
)
def test_a_broken_invoice_breaks_the_rule_that_is_expected(sample, broken, rule):
    assert broken_rules(sample.encode()) == set()
    found = broken_rules(broken(sample).encode())
    assert any(rule in each for each in found), found


def test_the_same_document_gives_the_same_bytes(sample):
    again = cross_industry_invoice(e_invoice(invoices_in_full().get()))
    assert again.decode() == sample


def test_the_office_fetches_the_xml_and_nobody_else(sample, office, technician):
    invoice = invoices_in_full().get()
    path = f"/invoices/{invoice.pk}/xml"
    response = office.get(path)
    assert response["Content-Type"] == "application/xml"
    assert response["Content-Disposition"] == f'inline; filename="{invoice.number}.xml"'
    assert response.content.decode() == sample
    assert office("GET", path, If_None_Match=response["ETag"]).status_code == 304
    assert technician.get(path).status_code == 403


def test_a_shop_not_registered_for_tax_has_no_xml(office):
    quote = approved_quote([(Decimal(1), Decimal(60), Decimal(0), "exempt")])
    Quote.objects.filter(pk=quote.pk).update(status="completed", completed_at=NOW)
    draft = invoice_draft(quote=quote, drafted_at=NOW, drafted_by=UserFactory())
    path = f"/invoices/{draft.pk}/xml"
    assert office.get(path).json()["type"].endswith("/no-electronic-invoice")
    invoice_issue(invoice=draft, issued_on=TODAY)
    assert office.get(path).json()["type"].endswith("/no-electronic-invoice")


@pytest.mark.parametrize(
    ("missing", "pointer"),
    [
        ({"profile": {"country": ""}}, "/seller/country"),
        ({"client": {"country": "", "city": "", "postcode": "", "street": ""}}, "/buyer/country"),
    ],
)
def test_what_the_standard_wants_is_asked_for_before_the_number_is_taken(
    registered, office, missing, pointer
):
    quote = approved_quote([(Decimal(1), Decimal(60), Decimal(0), "standard")])
    Quote.objects.filter(pk=quote.pk).update(status="completed", completed_at=NOW)
    draft = invoice_draft(quote=quote, drafted_at=NOW, drafted_by=UserFactory())
    ShopProfile.objects.update(**missing.get("profile", {}))
    type(quote.client).objects.filter(pk=quote.client_id).update(**missing.get("client", {}))
    quote.examination.instrument.site.__class__.objects.update(country="")

    problem = office.post(f"/invoices/{draft.pk}/issue").json()

    assert problem["type"].endswith("/invoice-incomplete")
    assert [error["pointer"] for error in problem["errors"]] == [pointer]
    draft.refresh_from_db()
    assert draft.status == "draft"
