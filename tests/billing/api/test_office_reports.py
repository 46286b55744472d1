import csv
from collections import defaultdict
from datetime import date
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from billing.actions.allocations import payment_allocate
from billing.actions.book_entries import Recorded
from billing.actions.credit_notes import credit_note_issue
from billing.actions.payments import Money, payment_record, payment_refund, payment_reverse
from billing.actions.write_offs import invoice_write_off
from billing.models import LedgerAccount
from billing.rules.settling import Share
from shop.models import ShopProfile
from tests.billing.api.test_quotes import refused
from tests.factories.billing import CreditNoteFactory, InvoiceFactory, QuoteFactory
from tests.factories.payments import AllocationFactory, RefundFactory, WriteOffFactory
from tests.factories.shop import ClientFactory, UserFactory
from tests.factories.world import NOW, TODAY

# All amounts below are worked out by hand: each invoice is 100.00 and 17.5 % tax, issued on
# 2 March 2026 and due on the 16th.
REPORTS = ["aged-receivables", "sales-summary", "job-margins", "journal"]


def march(day):
    return date(2026, 3, day)


class Month:
    """A school and a choir: what they were billed and what became of it in March."""

    def __init__(self):
        self.recorded = Recorded(NOW, UserFactory())
        self.school = ClientFactory(name="Eel Pie Lane School", language="de")
        self.choir = ClientFactory(name="Reedham Choir")
        first, second = (InvoiceFactory(client=self.school, issued=True) for _ in range(2))
        third = InvoiceFactory(client=self.choir, issued=True)
        self.invoices = [first, second, third]
        paid = self.paid(self.school, 150, "transfer", march(5), Share(first.pk, Decimal("117.50")))
        back = Money(Decimal("12.50"), "cash", march(10))
        self.doing(payment_refund, payment=paid, money=back, reason="Paid too much.")
        lost = {"amount": Decimal("17.50"), "reason": "The hall was cold."}
        self.doing(invoice_write_off, invoice=second, booked_on=march(12), **lost)
        note = CreditNoteFactory(corrects=third, net_total=Decimal(40), tax_total=Decimal(7))
        self.doing(credit_note_issue, note=note, issued_on=march(20))
        share = Share(third.pk, Decimal("70.50"))
        bounced = self.paid(self.choir, "70.50", "cheque", march(21), share)
        late = {"reason": "It bounced.", "booked_on": march(23)}
        self.doing(payment_reverse, payment=bounced, **late)

    def doing(self, verb, **values):
        return verb(**values, recorded=self.recorded)

    def paid(self, client, amount, method, booked_on, *shares):
        money = Money(Decimal(amount), method, booked_on)
        return self.doing(payment_record, client=client, money=money, shares=shares)


@pytest.fixture
def month(db):
    return Month()


def sheet(office, path):
    joined = "&" if "?" in path else "?"
    text = office.get(f"{path}{joined}format=csv").content.decode()
    return list(csv.DictReader(text.splitlines()))


def said(value):
    return "" if value is None else str(value)


@pytest.mark.parametrize(
    ("on", "buckets", "school", "choir", "credits_held"),
    [
        ("2026-03-01", "0 0 0 0 0", None, None, "0.00"),
        ("2026-03-04", "352.50 0 0 0 0", "235.00", "117.50", "0.00"),
        ("2026-03-16", "217.50 0 0 0 0", "100.00", "117.50", "20.00"),
        ("2026-03-22", "0 100.00 0 0 0", "100.00", None, "20.00"),
        ("2026-04-15", "0 170.50 0 0 0", "100.00", "70.50", "20.00"),
        ("2026-04-16", "0 0 170.50 0 0", "100.00", "70.50", "20.00"),
        ("2026-06-15", "0 0 0 0 170.50", "100.00", "70.50", "20.00"),
    ],
)
def test_what_was_owed_on_any_day_is_sorted_by_how_long(
    office, month, on, buckets, school, choir, credits_held
):
    answer = office.get(f"/aged-receivables?on={on}").json()
    assert answer["buckets"] == ["not due", "1 to 30", "31 to 60", "61 to 90", "over 90"]
    expected = [Decimal(amount) for amount in buckets.split()]
    assert [Decimal(amount) for amount in answer["amounts"]] == expected
    assert Decimal(answer["owed_total"]) == sum(expected)
    assert answer["credit_total"] == credits_held
    owed = {row["name"]: row["owed_total"] for row in answer["clients"]}
    assert owed == {
        name: amount
        for name, amount in {"Eel Pie Lane School": school, "Reedham Choir": choir}.items()
        if amount
    }
    assert sum(Decimal(row["open_total"]) for row in answer["items"]) == sum(expected)
    lines = sheet(office, f"/aged-receivables?on={on}")
    assert lines == [{key: said(value) for key, value in row.items()} for row in answer["items"]]


def test_the_shop_says_after_how_many_days_receivables_are_sorted(office, month):
    ShopProfile.objects.update(aged_days=[7])
    answer = office.get("/aged-receivables?on=2026-03-23").json()
    assert answer["buckets"] == ["not due", "1 to 7", "over 7"]
    assert answer["amounts"] == ["0.00", "170.50", "0.00"]
    days = {row["number"]: row["days_overdue"] for row in answer["items"]}
    assert set(days.values()) == {7}


def test_a_client_who_owes_nothing_is_shown_with_what_they_have_to_their_credit(office, month):
    other = ClientFactory(name="Marsh End Hall")
    month.paid(other, 5, "cash", march(2))
    answer = office.get("/aged-receivables?on=2026-03-04").json()
    last = answer["clients"][-1]
    assert (last["name"], last["owed_total"], last["credit_total"]) == (other.name, "0.00", "5.00")


def test_a_statement_leads_from_what_was_owed_to_what_is(office, month):
    path = f"/clients/{month.school.pk}/statement?opened_on=2026-03-05&closed_on=2026-03-31"
    answer = office.get(path).json()
    assert answer["opening_balance"] == "235.00"
    assert [
        (row["booked_on"], row["kind"], row["amount"], row["balance"]) for row in answer["items"]
    ] == [
        ("2026-03-05", "payment", "-150.00", "85.00"),
        ("2026-03-10", "refund", "12.50", "97.50"),
        ("2026-03-12", "write_off", "-17.50", "80.00"),
    ]
    totals = [answer[name] for name in ("closing_balance", "owed_total", "credit_total")]
    assert totals == ["80.00", "100.00", "20.00"]
    assert [(row["open_total"], row["days_overdue"]) for row in answer["open_invoices"]] == [
        ("100.00", 15)
    ]
    parties = (answer["seller"]["name"], answer["buyer"]["name"], answer["language"])
    assert parties == ("The piano repair shop", "Eel Pie Lane School", "de")
    assert answer["currency"] == "EUR"
    assert [row["balance"] for row in sheet(office, path)] == ["85.00", "97.50", "80.00"]
    early = path.replace("2026-03-05", "2026-02-01").replace("2026-03-31", "2026-03-01")
    before = office.get(early).json()
    assert (before["items"], before["closing_balance"]) == ([], "0.00")


def test_a_statement_names_documents_and_what_was_taken_back(office, month):
    path = f"/clients/{month.choir.pk}/statement?opened_on=2026-03-01&closed_on=2026-03-31"
    rows = office.get(path).json()["items"]
    kinds = [(row["kind"], row["amount"], row["balance"]) for row in rows]
    assert kinds == [
        ("invoice", "117.50", "117.50"),
        ("credit_note", "-47.00", "70.50"),
        ("payment", "-70.50", "0.00"),
        ("payment", "70.50", "70.50"),
    ]
    number = month.invoices[2].number
    assert (rows[0]["document"], rows[0]["due_on"]) == (number, "2026-03-16")
    assert rows[1]["text"].startswith(f"{number}: ")
    assert rows[2]["document"] == rows[3]["document"]


def test_sales_and_tax_by_rate_tie_to_the_documents(office, month):
    InvoiceFactory()  # a draft is no sale
    path = "/sales-summary?opened_on=2026-03-01&closed_on=2026-03-31"
    answer = office.get(path).json()
    assert answer["items"] == [
        {
            "starts_on": "2026-03-01",
            "tax_code": "S",
            "tax_percent": "17.5",
            "invoiced_net": "300.00",
            "invoiced_tax": "52.50",
            "credited_net": "40.00",
            "credited_tax": "7.00",
            "net": "260.00",
            "tax": "45.50",
        }
    ]
    assert answer["periods"] == [
        {
            "starts_on": "2026-03-01",
            "invoice_count": 3,
            "credit_note_count": 1,
            "net_total": "260.00",
            "tax_total": "45.50",
            "gross_total": "305.50",
            "rounding_amount": "0.00",
            "payable_total": "305.50",
        }
    ]
    assert sheet(office, path) == answer["items"]
    assert "Local law" in answer["note"]
    by_year = office.get(f"{path}&by=year").json()["periods"]
    assert [row["starts_on"] for row in by_year] == ["2026-01-01"]


def accounts_of(lines):
    sums = defaultdict(Decimal)
    for line in lines:
        sums[line["account_code"]] += Decimal(line["debit"] or 0) - Decimal(line["credit"] or 0)
    return {code: f"{total:f}" for code, total in sums.items() if total}


def test_the_journal_balances_by_document_and_says_what_each_account_holds(office, month):
    LedgerAccount.objects.filter(role="sales").update(code="8400-own", name="Work and parts")
    path = "/journal?opened_on=2026-03-01&closed_on=2026-03-31"
    answer = office.get(path).json()
    lines = answer["items"]
    # 352.50 invoiced less 117.50 and 17.50 of the school's, and 47.00 credited.
    assert accounts_of(lines) == {
        "receivables": "170.50",
        "bank": "150.00",
        "cash": "-12.50",
        "8400-own": "-260.00",
        "output-tax": "-45.50",
        "client-credit": "-20.00",
        "write-offs": "17.50",
    }
    by_document = defaultdict(list)
    for line in lines:
        by_document[line["document_kind"], line["document"]].append(line)
    assert {sum(map(Decimal, accounts_of(group).values())) for group in by_document.values()} == {0}
    assert answer["debit_total"] == answer["credit_total"]
    assert [line["booked_on"] for line in lines] == sorted(line["booked_on"] for line in lines)
    number = month.invoices[0].number
    assert [
        (line["account_name"], line["tax_code"], line["tax_percent"], line["debit"], line["credit"])
        for line in by_document["invoice", number]
    ] == [
        ("Owed by clients", None, None, "117.50", None),
        ("Work and parts", "S", "17.5", None, "100.00"),
        ("Tax on sales", "S", "17.5", None, "17.50"),
    ]
    rows = sheet(office, path)
    assert rows == [{key: said(value) for key, value in line.items()} for line in lines]


def test_a_deposit_is_no_sale_until_the_last_invoice_takes_it_off(office):
    InvoiceFactory(kind="deposit", lines__kind="deposit", issued=True)
    lines = office.get("/journal?opened_on=2026-03-01&closed_on=2026-03-31").json()["items"]
    assert accounts_of(lines) == {
        "receivables": "117.50",
        "deposits": "-100.00",
        "output-tax": "-17.50",
    }


def test_what_was_billed_and_paid_in_another_currency_is_in_no_report(office, month):
    days = "?opened_on=2026-03-01&closed_on=2026-03-31"
    paths = [f"/{report}{days}" for report in ("sales-summary", "journal")]
    paths += ["/aged-receivables?on=2026-03-31", f"/clients/{month.school.pk}/statement{days}"]

    def shown():
        return [office.get(path).json() for path in paths]

    before = shown()
    other = InvoiceFactory(client=month.school, currency="USD", issued=True)
    AllocationFactory(invoice=other, payment__currency="USD")
    WriteOffFactory(invoice=other)
    RefundFactory(payment__client=month.school, payment__currency="USD", amount=Decimal(15))
    assert shown() == before


@pytest.mark.parametrize("report", REPORTS)
def test_the_shops_money_is_not_for_technicians(technician, office, report):
    refused(technician.get(f"/{report}"), 403, "forbidden")
    assert office.get(f"/{report}").status_code == 200


@pytest.mark.parametrize("report", ["sales-summary", "job-margins", "journal"])
def test_a_period_that_ends_before_it_begins_is_refused(office, report):
    path = f"/{report}?opened_on=2026-03-02&closed_on=2026-03-01"
    problem = refused(office.get(path), 400, "invalid-query")
    assert [error["parameter"] for error in problem["errors"]] == ["closed_on"]


def test_reports_take_as_many_statements_for_much_as_for_little(office, month):
    paths = [f"/{report}?opened_on=2026-03-01&closed_on=2026-03-31" for report in REPORTS[1:]]
    paths += ["/aged-receivables?on=2026-03-31", f"/clients/{month.school.pk}/statement"]

    def statements(path):
        with CaptureQueriesContext(connection) as captured:
            assert office.get(path).status_code == 200
        return len(captured)

    before = [statements(path) for path in paths]
    for _ in range(3):
        InvoiceFactory(client=month.school, issued=True)
        payment = month.paid(month.school, 10, "cash", TODAY)
        month.doing(payment_allocate, payment=payment)
        QuoteFactory(completed=True)
        InvoiceFactory(issued=True)
    assert [statements(path) for path in paths] == before
    assert max(before) <= 10
