import pytest

from billing.models import BankStatement, Invoice, Payment, StatementEntry
from shop.models import ShopProfile
from tests.billing.api.test_quotes import refused
from tests.billing.camt import (
    ACCOUNT,
    OTHER_ACCOUNT,
    document,
    entry,
    remittance,
    statement,
    told_by,
)
from tests.factories.billing import InvoiceFactory, issued
from tests.factories.shop import ClientFactory

# Source: python-stdnum's documentation of ISO 11649.
REFERENCE = "RF18539007547034"
IMPORT = "/bank-statements/import"


@pytest.fixture
def invoice(db):
    """An issued invoice on which 117.50 are due, with a reference."""
    draft = InvoiceFactory(client=ClientFactory(name="Eel Pie Lane School"))
    Invoice.objects.filter(pk=draft.pk).update(**issued(), reference=REFERENCE)
    return Invoice.objects.get(pk=draft.pk)


def sent(office, body, content_type="application/xml", query=""):
    return office("POST", IMPORT + query, body, content_type=content_type)


def kept(response):
    assert response.status_code == 201, response.content
    answer = response.json()
    return [answer[f"{name}_count"] for name in ("stored", "known", "recorded")]


def paid_by_reference(version="08", amount="117.50"):
    told = told_by("Eel Pie Lane School", remittance(REFERENCE), version)
    one = entry(amount, told, reference="B1", version=version)
    out = entry("12.00", sign="DBIT", reference="B2", version=version)
    return one, out


@pytest.mark.parametrize("version", ["02", "08"])
def test_a_camt_file_is_kept_and_what_is_certain_proposed_as_such(office, invoice, version):
    file = document(statement(*paid_by_reference(version), closing="1105.50"), version=version)
    assert kept(sent(office, file)) == [2, 0, 0]
    assert not Payment.objects.exists()

    row = BankStatement.objects.get()
    matched = office.get(f"/bank-statements/{row.pk}/proposals").json()["entries"]
    assert len(matched) == 1
    came, best = matched[0]["entry"], matched[0]["proposals"][0]
    assert (came["amount"], came["payer_name"]) == ("117.50", "Eel Pie Lane School")
    assert (best["is_certain"], best["score"]) == (True, 100)
    assert best["allocations"] == [{"invoice": invoice.pk, "amount": "117.50"}]


def test_a_certain_entry_is_accepted_and_closed(office, invoice):
    sent(office, document(statement(*paid_by_reference(), closing="1105.50")))
    came = office.get("/statement-entries?is_open=true").json()["items"][0]
    path = f"/statement-entries/{came['id']}"

    accepted = office.post(f"{path}/accept")

    assert (accepted.status_code, accepted.json()["open_total"]) == (201, "0.00")
    payment = office.get(f"/payments?statement_entry={came['id']}").json()["items"][0]
    names = ("amount", "method", "booked_on", "reference", "client", "credit_total")
    assert [payment[name] for name in names] == [
        *("117.50", "transfer", "2026-03-02", REFERENCE, invoice.client_id, "0.00")
    ]
    assert office.get(f"/invoices/{invoice.pk}").json()["due_total"] == "0.00"
    refused(office.post(f"{path}/accept"), 409, "entry-closed")
    assert office.get("/statement-entries?is_open=true").json()["items"] == []
    # What went out is nothing that a client paid, so it was never open.
    closed = office.get("/statement-entries?is_open=false").json()["items"]
    assert {row["entry_reference"] for row in closed} == {"B1", "B2"}


def test_a_payment_of_an_entry_that_is_reversed_opens_it_again(office, invoice):
    sent(office, document(statement(*paid_by_reference(), closing="1105.50")))
    came = office.get("/statement-entries?is_open=true").json()["items"][0]
    office.post(f"/statement-entries/{came['id']}/accept")
    payment = Payment.objects.get()
    office.post(f"/payments/{payment.pk}/reverse", {"reason": "Another client's."})
    again = office.get(f"/statement-entries/{came['id']}").json()
    assert (again["recorded_total"], again["open_total"]) == ("0.00", "117.50")


def test_what_is_not_certain_wants_a_client(office, invoice):
    sent(office, document(statement(*paid_by_reference(amount="120.00"), closing="1108.00")))
    came = office.get("/statement-entries?is_open=true").json()["items"][0]
    path = f"/statement-entries/{came['id']}"
    proposed = office.get(f"{path}/proposals").json()["proposals"][0]
    assert (proposed["is_certain"], proposed["client"]) == (False, invoice.client_id)
    refused(office.post(f"{path}/accept"), 409, "match-uncertain")

    body = {"client": proposed["client"], "allocations": proposed["allocations"]}
    unsaid = {"allocations": proposed["allocations"]}
    problem = refused(office.post(f"{path}/accept", unsaid), 400, "invalid-input")
    assert problem["errors"][0]["pointer"] == "/client"
    assert office.post(f"{path}/accept", body).status_code == 201
    payment = office.get("/payments").json()["items"][0]
    assert (payment["allocated_total"], payment["credit_total"]) == ("117.50", "2.50")


def test_what_is_certain_is_recorded_at_once_where_the_owner_says_so(office, invoice):
    ShopProfile.objects.update(books_certain_payments=True)
    file = document(statement(*paid_by_reference(), closing="1105.50"))
    assert kept(sent(office, file)) == [2, 0, 1]
    assert office.get(f"/invoices/{invoice.pk}").json()["due_total"] == "0.00"


def test_all_that_is_certain_is_accepted_together_and_no_invoice_twice(office, invoice):
    first, out = paid_by_reference()
    told = told_by("Eel Pie Lane School", remittance(REFERENCE))
    twice = entry("117.50", told, reference="B3")
    sent(office, document(statement(first, out, twice, closing="1223.00")))
    row = BankStatement.objects.get()
    answer = office.post(f"/bank-statements/{row.pk}/accept-certain").json()
    assert answer == {"recorded_count": 1}
    assert office.post(f"/bank-statements/{row.pk}/accept-certain").json()["recorded_count"] == 0
    assert Payment.objects.get().statement_entry.entry_reference == "B1"


def test_the_same_file_is_counted_once(office):
    file = document(statement(*paid_by_reference(), closing="1105.50"))
    assert kept(sent(office, file)) == [2, 0, 0]
    problem = refused(sent(office, file), 409, "statement-known")
    assert "This very file was kept before" in problem["detail"]
    refused(sent(office, file + b"\n"), 409, "statement-known")
    assert StatementEntry.objects.count() == 2


def test_entries_that_statements_share_are_counted_once(office):
    first, out = paid_by_reference()
    sent(office, document(statement(first, closing="1117.50")))
    later = document(statement(first, out, identifier="2026-043", closing="1105.50"))
    assert kept(sent(office, later)) == [1, 1, 0]
    assert StatementEntry.objects.count() == 2


def test_entries_without_a_reference_of_the_bank_are_counted_once_too(office):
    alike = [entry("5.00"), entry("5.00"), entry("6.00")]
    sent(office, document(statement(*alike[:2], closing="1010.00")))
    later = document(statement(*alike, identifier="2026-043", closing="1016.00"))
    assert kept(sent(office, later)) == [1, 2, 0]


def test_an_entry_that_has_changed_is_refused(office):
    sent(office, document(statement(entry("5.00", reference="B1"), closing="1005.00")))
    other = statement(entry("6.00", reference="B1"), identifier="2026-043", closing="1006.00")
    refused(sent(office, document(other)), 409, "entry-differs")
    assert BankStatement.objects.count() == 1


def test_the_same_reference_in_another_account_is_another_entry(office):
    file = document(statement(entry("5.00", reference="B1"), closing="1005.00"))
    assert kept(sent(office, file)) == [1, 0, 0]
    other = file.replace(ACCOUNT.encode(), OTHER_ACCOUNT.encode())
    assert kept(sent(office, other)) == [1, 0, 0]


def test_nothing_that_is_owed_in_another_currency_is_proposed(office, invoice):
    file = document(statement(*paid_by_reference(), closing="1105.50"))
    sent(office, file.replace(b'Ccy="EUR"', b'Ccy="USD"'))
    path = f"/statement-entries/{StatementEntry.objects.get(entry_reference='B1').pk}"
    assert office.get(f"{path}/proposals").json()["proposals"] == []
    refused(office.post(f"{path}/accept", {"client": invoice.client_id}), 409, "beyond-entry")


def test_what_no_client_paid_is_dismissed_and_taken_up_again(office):
    sent(office, document(statement(entry("5.00", reference="B1"), closing="1005.00")))
    path = f"/statement-entries/{StatementEntry.objects.get().pk}"
    reason = {"reason": "The owner's own money."}
    assert office.post(f"{path}/dismiss", reason).json()["open_total"] == "0.00"
    client = {"client": ClientFactory().pk}
    refused(office.post(f"{path}/accept", client), 409, "entry-closed")
    assert office.post(f"{path}/reopen").json()["open_total"] == "5.00"
    assert office.post(f"{path}/accept", client).status_code == 201
    refused(office.post(f"{path}/dismiss", reason), 409, "entry-closed")
