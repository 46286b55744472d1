"""Deposits, parts, finals and credit notes, as the office makes them."""

from decimal import Decimal

import pytest

from shop.models import ShopProfile, Site, TaxCategory
from tests.billing.api.test_jobs import work
from tests.billing.api.test_quotes import quoted, refused
from tests.factories.shop import TaxRateFactory


@pytest.fixture
def taxed(workshop):
    """A shop registered for tax: 19 % on all it sells."""
    ShopProfile.objects.update(is_tax_registered=True, tax_number="XX123", country="GB")
    Site.objects.update(country="GB")
    TaxRateFactory(category=TaxCategory.objects.get(code="standard"), percent=19)


@pytest.fixture
def approved(technician, workshop, taxed):
    workshop.find(range(60, 72))
    return quoted(technician, workshop, approve=True)


def completed(technician, quote):
    path = f"/quotes/{quote['id']}"
    assert technician.post(f"{path}/bench-work", work()).status_code == 201
    assert technician.post(f"{path}/complete").status_code == 200


def drafted(office, quote, verb="invoice", body=None):
    response = office.post(f"/quotes/{quote['id']}/{verb}", body or {})
    assert response.status_code == 201, response.json()
    return response.json()


def issued(office, invoice):
    response = office.post(f"/invoices/{invoice['id']}/issue")
    assert response.status_code == 200, response.json()
    return response.json()


def money(document, name):
    return Decimal(document[name])


def test_a_deposit_is_taken_off_the_final_invoice_and_all_comes_to_the_quote(
    technician, office, approved
):
    deposit = issued(office, drafted(office, approved, "deposit-invoice", {"percent": "30"}))
    completed(technician, approved)
    final = issued(office, drafted(office, approved))

    share = money(approved, "payable_total") * Decimal("0.3")
    assert abs(money(deposit, "payable_total") - share) <= Decimal("0.005")
    assert (deposit["kind"], final["kind"]) == ("deposit", "final")
    less = final["lines"][-1]
    assert less["description"] == f"Less deposit invoice {deposit['number']}"
    assert less["net_amount"] == f"-{deposit['net_total']}"
    assert money(deposit, "payable_total") + money(final, "payable_total") == money(
        approved, "payable_total"
    )


def test_a_deposit_is_no_more_than_the_quote(technician, office, approved):
    beyond = money(approved, "payable_total") + Decimal("0.01")
    path = f"/quotes/{approved['id']}/deposit-invoice"
    problem = refused(office.post(path, {"amount": str(beyond)}), 409, "deposit-beyond-rest")
    assert problem["errors"][0]["pointer"] == "/amount"
    assert office.post(path, {"amount": approved["payable_total"]}).status_code == 201


@pytest.mark.parametrize("body", [{"amount": "5", "percent": "5"}, {"percent": "101"}])
def test_a_deposit_is_an_amount_or_a_percentage(office, approved, body):
    response = office.post(f"/quotes/{approved['id']}/deposit-invoice", body)
    refused(response, 400, "invalid-input")


def test_part_of_the_lines_is_invoiced_and_the_rest_at_the_end(technician, office, approved):
    part = issued(office, drafted(office, approved, "part-invoice", {"lines": [1]}))
    completed(technician, approved)
    final = issued(office, drafted(office, approved))

    assert [line["description"] for line in part["lines"]] == [approved["lines"][0]["description"]]
    rest = [line["description"] for line in approved["lines"][1:]]
    assert [line["description"] for line in final["lines"]] == rest
    assert money(part, "payable_total") + money(final, "payable_total") == money(
        approved, "payable_total"
    )
    refused(office.post(f"/quotes/{approved['id']}/invoice"), 409, "already-invoiced")


def test_a_line_is_invoiced_once(office, approved):
    issued(office, drafted(office, approved, "part-invoice", {"lines": [1]}))
    path = f"/quotes/{approved['id']}/part-invoice"
    problem = refused(office.post(path, {"lines": [2, 1]}), 409, "already-invoiced")
    assert problem["errors"][0]["pointer"] == "/lines/1"
    refused(office.post(path, {"lines": [99]}), 409, "line-unknown")


def test_a_quote_that_nobody_approved_is_not_invoiced(technician, office, workshop, taxed):
    workshop.find([60])
    quote = quoted(technician, workshop)
    path = f"/quotes/{quote['id']}"
    refused(office.post(f"{path}/deposit-invoice", {"amount": "5"}), 409, "quote-not-open")
    refused(office.post(f"{path}/part-invoice", {"lines": [1]}), 409, "quote-not-open")


@pytest.fixture
def invoice(technician, office, approved):
    completed(technician, approved)
    return issued(office, drafted(office, approved))


def credited(office, invoice, **body):
    response = office.post(f"/invoices/{invoice['id']}/credit", {"reason": "Not done."} | body)
    assert response.status_code == 201, response.json()
    return issued(office, response.json())


def test_an_invoice_is_credited_in_whole(office, invoice):
    note = credited(office, invoice)
    assert note["kind"] == "credit_note"
    assert note["corrects"] == invoice["id"]
    assert note["number"].startswith("C")
    assert note["due_on"] == note["issued_on"]  # nothing is waited for
    for total in ("net_total", "tax_total", "payable_total"):
        assert note[total] == invoice[total]
    seen = office.get(f"/invoices/{invoice['id']}").json()
    assert (seen["due_total"], seen["credited_total"]) == ("0.00", invoice["payable_total"])
    refused(
        office.post(f"/invoices/{invoice['id']}/credit", {"reason": "Again."}),
        409,
        "credit-beyond-left",
    )


def test_parts_of_lines_are_credited_and_the_last_takes_the_rest(office, invoice):
    line = {"position": 1, "net_amount": "0.33"}
    first = credited(office, invoice, lines=[line])
    assert first["net_total"] == "0.33"
    assert first["tax_total"] == "0.06"  # 19 % of 0.33 is 0.0627
    last = credited(office, invoice)
    for total in ("net_total", "tax_total", "payable_total"):
        assert money(first, total) + money(last, total) == money(invoice, total)


def test_no_more_of_a_line_is_credited_than_is_left(office, invoice):
    path = f"/invoices/{invoice['id']}/credit"
    beyond = money(invoice["lines"][0], "net_amount") + Decimal("0.01")
    body = {"reason": "Too dear.", "lines": [{"position": 1, "net_amount": str(beyond)}]}
    problem = refused(office.post(path, body), 409, "credit-beyond-left")
    assert problem["errors"][0]["pointer"] == "/lines/0/net_amount"
    body["lines"][0] = {"position": 99, "net_amount": "1"}
    refused(office.post(path, body), 409, "line-unknown")


def test_a_credit_note_is_not_credited_nor_paid(office, invoice):
    note = credited(office, invoice, lines=[{"position": 1, "net_amount": "1"}])
    path = f"/invoices/{note['id']}"
    refused(office.post(f"{path}/credit", {"reason": "No."}), 409, "credit-of-credit")
    payment = {"amount": "1", "method": "cash"}
    refused(office.post(f"{path}/payments", payment), 409, "paid-beyond-due")


def test_what_is_credited_is_not_due(office, invoice):
    credited(office, invoice, lines=[{"position": 1, "net_amount": "10"}])
    path = f"/invoices/{invoice['id']}/payments"
    payment = {"amount": invoice["payable_total"], "method": "transfer"}
    refused(office.post(path, payment), 409, "paid-beyond-due")
    due = office.get(f"/invoices/{invoice['id']}").json()["due_total"]
    paid = office.post(path, payment | {"amount": due})
    assert paid.json()["due_total"] == "0.00"


def test_after_all_is_credited_the_work_is_invoiced_anew(office, approved, invoice):
    credited(office, invoice)
    again = issued(office, drafted(office, approved))
    assert again["payable_total"] == approved["payable_total"]


def test_an_allowance_on_a_draft_lowers_the_tax_too(technician, office, approved):
    completed(technician, approved)
    draft = drafted(office, approved)
    path = f"/invoices/{draft['id']}"

    body = {"reason": "Good custom", "percent": "10"}
    lower = office.post(f"{path}/adjust", body).json()

    net = money(draft, "line_total")
    off = (net / 10).quantize(Decimal("0.01"))
    assert money(lower, "allowance_total") == off
    assert money(lower, "net_total") == net - off
    assert abs(money(lower, "tax_total") - (net - off) * Decimal("0.19")) <= Decimal("0.005")
    assert lower["allowances"][0]["base_amount"] == draft["line_total"]
    raised = office.post(
        f"{path}/adjust", {"reason": "Ferry", "amount": "7", "is_charge": True}
    ).json()
    assert money(raised, "net_total") == net - off + 7
    refused(
        office.post(f"{path}/adjust", {"reason": "All", "amount": "9999"}),
        409,
        "allowance-beyond-lines",
    )
    issued(office, draft)
    refused(office.post(f"{path}/adjust", body), 409, "invoice-issued")


@pytest.mark.parametrize("how", [{"amount": "5"}, {"amount": "5", "is_charge": True}])
def test_nothing_is_put_on_an_invoice_of_which_a_deposit_left_nothing(
    technician, office, approved, how
):
    issued(office, drafted(office, approved, "deposit-invoice", {"percent": "100"}))
    completed(technician, approved)
    rest = drafted(office, approved)
    assert rest["payable_total"] == "0.00"
    response = office.post(f"/invoices/{rest['id']}/adjust", {"reason": "Ferry"} | how)
    refused(response, 409, "allowance-beyond-lines")


def test_an_allowance_goes_back_with_what_it_was_on(technician, office, approved):
    completed(technician, approved)
    draft = drafted(office, approved)
    adjust = f"/invoices/{draft['id']}/adjust"
    office.post(adjust, {"reason": "Good custom", "amount": "9.99"})
    invoice = issued(office, draft)
    first = credited(office, invoice, lines=[{"position": 1, "net_amount": "5"}])
    assert 0 < money(first, "allowance_total") < Decimal("9.99")
    last = credited(office, invoice)
    for total in ("line_total", "allowance_total", "net_total", "tax_total", "payable_total"):
        assert money(first, total) + money(last, total) == money(invoice, total)


def test_tax_is_rounded_by_line_where_the_shop_does(technician, office, approved):
    ShopProfile.objects.update(tax_rounding="line")
    completed(technician, approved)
    draft = drafted(office, approved)
    cent = Decimal("0.01")
    by_line = [
        (money(line, "net_amount") * Decimal("0.19")).quantize(cent, "ROUND_HALF_UP")
        for line in draft["lines"]
    ]
    assert money(draft, "tax_total") == sum(by_line)


def test_an_issued_invoice_bears_a_reference_for_the_payer(office, invoice):
    # ISO 11649: RF, two check digits, and the number without its dash.
    assert invoice["reference"].startswith("RF")
    assert invoice["reference"].endswith(invoice["number"].replace("-", ""))
    found = office.get(f"/invoices?reference={invoice['reference']}").json()["items"]
    assert [each["id"] for each in found] == [invoice["id"]]
