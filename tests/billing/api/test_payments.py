from decimal import Decimal

import pytest

from billing.models import Allocation, Payment
from tests.billing.api.test_quotes import refused
from tests.factories.billing import CreditNoteFactory, InvoiceFactory
from tests.factories.shop import ClientFactory
from tests.factories.world import TODAY

DAY = TODAY.isoformat()


@pytest.fixture
def client(db):
    return ClientFactory()


@pytest.fixture
def invoices(client):
    """Two issued invoices of 117.50 each."""
    return [InvoiceFactory(client=client, issued=True) for _ in range(2)]


def made(response):
    assert response.status_code == 201, response.content
    return response.json()


def paid(office, client, amount, *shares, **values):
    body = {"client": client.pk, "amount": amount, "method": "transfer", "booked_on": DAY}
    body["allocations"] = [{"invoice": row.pk, "amount": part} for row, part in shares]
    return made(office.post("/payments", body | values))


def due(office, invoice):
    return office.get(f"/invoices/{invoice.pk}").json()["due_total"]


def totals(payment):
    return [payment[f"{name}_total"] for name in ("allocated", "refunded", "credit")]


def test_a_payment_is_split_over_invoices_and_the_rest_is_credit(office, client, invoices):
    first, second = invoices
    payment = paid(office, client, "200.00", (first, "117.50"), (second, "50"))

    assert totals(payment) == ["167.50", "0.00", "32.50"]
    assert [due(office, row) for row in invoices] == ["0.00", "67.50"]
    held = office.get(f"/payments?client={client.pk}&has_credit=true").json()["items"]
    assert [(row["id"], row["credit_total"]) for row in held] == [(payment["id"], "32.50")]
    assert office.get("/payments?has_credit=false").json()["items"] == []


def test_credit_settles_what_is_due_first_or_what_is_named(office, client, invoices):
    first, second = invoices
    payment = paid(office, client, "150.00")
    path = f"/payments/{payment['id']}/allocate"

    named = made(office.post(path, {"allocations": [{"invoice": second.pk, "amount": "20"}]}))
    assert totals(named) == ["20.00", "0.00", "130.00"]
    assert totals(made(office.post(path))) == ["150.00", "0.00", "0.00"]
    assert [due(office, row) for row in (first, second)] == ["0.00", "85.00"]
    refused(office.post(path), 409, "nothing-to-allocate")


@pytest.mark.parametrize(
    ("case", "code", "member"),
    [
        ("too much", "paid-beyond-due", "amount"),
        ("too fine", "amount-too-fine", "amount"),
        ("draft", "invoice-not-issued", "invoice"),
        ("another's", "other-client", "invoice"),
        ("none", "invoice-unknown", "invoice"),
        ("beyond", "beyond-payment", None),
    ],
)
def test_what_cannot_be_allocated_is_pointed_at_and_nothing_is_stored(
    office, client, invoices, case, code, member
):
    amount = {"too much": "117.51", "too fine": "1.001", "beyond": "100.01"}.get(case, "1")
    wrong = {"draft": {"client": client}, "another's": {"issued": True}}
    key = InvoiceFactory(**wrong[case]).pk if case in wrong else invoices[1].pk
    shares = [
        {"invoice": invoices[0].pk, "amount": "100"},
        {"invoice": 987654321 if case == "none" else key, "amount": amount},
    ]
    total = "200" if case == "beyond" else "300"
    body = {"client": client.pk, "amount": total, "method": "cash", "allocations": shares}
    problem = refused(office.post("/payments", body), 409, code)
    pointers = [error["pointer"] for error in problem.get("errors", ())]
    assert pointers == ([f"/allocations/1/{member}"] if member else [])
    assert not Payment.objects.exists()


@pytest.mark.parametrize(
    ("wrong", "pointer"),
    [
        ({"amount": "0"}, "/amount"),
        ({"amount": "1.001"}, "/amount"),
        ({"method": "barter"}, "/method"),
        ({"booked_on": "2999-01-01"}, "/booked_on"),
        ({"client": 987654321}, "/client"),
        ({"allocations": [{"invoice": 1, "amount": "-1"}]}, "/allocations/0/amount"),
        ({"allocations": [{"invoice": 1, "amount": "1"}] * 2}, "/allocations"),
    ],
)
def test_a_payment_that_cannot_be_is_pointed_at(office, client, wrong, pointer):
    body = {"client": client.pk, "amount": "1", "method": "cash"} | wrong
    problem = refused(office.post("/payments", body), 400, "invalid-input")
    assert [error["pointer"] for error in problem["errors"]] == [pointer]


def test_more_than_is_due_is_refused_on_an_invoice_unless_the_rest_is_kept(office, invoices):
    path = f"/invoices/{invoices[0].pk}/payments"
    body = {"amount": "120", "method": "card", "booked_on": DAY}
    refused(office.post(path, body), 409, "paid-beyond-due")
    answer = made(office.post(path, body | {"keep_rest_as_credit": True}))
    assert (answer["paid_total"], answer["due_total"]) == ("117.50", "0.00")
    credit = office.get("/payments?has_credit=true").json()["items"]
    assert [row["credit_total"] for row in credit] == ["2.50"]


def test_credit_is_refunded_and_no_more_than_is_left(office, client, invoices):
    payment = paid(office, client, "120.00", (invoices[0], "117.50"))
    path = f"/payments/{payment['id']}/refund"
    body = {"amount": "2.51", "method": "transfer", "reason": "Paid too much."}
    problem = refused(office.post(path, body), 409, "beyond-payment")
    assert problem["errors"][0]["pointer"] == "/amount"
    after = made(office.post(path, body | {"amount": "2.50", "booked_on": DAY}))
    assert totals(after) == ["117.50", "2.50", "0.00"]
    assert [row["reason"] for row in after["refunds"]] == ["Paid too much."]


def test_money_is_not_refunded_before_it_came(office, client):
    payment = paid(office, client, "5")
    body = {"amount": "5", "method": "cash", "reason": "Paid twice.", "booked_on": "2026-03-01"}
    problem = refused(office.post(f"/payments/{payment['id']}/refund", body), 400, "invalid-input")
    assert [error["pointer"] for error in problem["errors"]] == ["/booked_on"]


def test_a_refund_that_never_went_out_is_credit_again(office, client):
    payment = paid(office, client, "5")
    body = {"amount": "5", "method": "cash", "reason": "Paid twice."}
    made(office.post(f"/payments/{payment['id']}/refund", body))
    refund = office.get(f"/refunds?payment={payment['id']}").json()["items"][0]
    made(office.post(f"/refunds/{refund['id']}/reverse", {"reason": "Wrong account."}))
    assert totals(office.get(f"/payments/{payment['id']}").json()) == ["0.00", "0.00", "5.00"]


def test_a_payment_that_bounces_is_owed_again(office, client, invoices):
    payment = paid(office, client, "150.00", (invoices[0], "100"), (invoices[1], "40"))
    path = f"/payments/{payment['id']}/reverse"

    reversal = made(office.post(path, {"reason": "The cheque bounced."}))

    assert (reversal["amount"], reversal["reverses"]) == ("-150.00", payment["id"])
    assert [due(office, row) for row in invoices] == ["117.50", "117.50"]
    after = office.get(f"/payments/{payment['id']}").json()
    assert (after["is_reversed"], totals(after)) == (True, ["0.00", "0.00", "0.00"])
    refused(office.post(path, {"reason": "Again."}), 409, "already-reversed")
    path = f"/payments/{reversal['id']}/reverse"
    refused(office.post(path, {"reason": "It did not."}), 409, "reversal-stands")


def test_a_payment_that_was_refunded_is_not_reversed(office, client):
    payment = paid(office, client, "5")
    body = {"amount": "1", "method": "cash", "reason": "Paid twice."}
    made(office.post(f"/payments/{payment['id']}/refund", body))
    path = f"/payments/{payment['id']}/reverse"
    refused(office.post(path, {"reason": "It bounced."}), 409, "payment-refunded")


def test_an_allocation_to_the_wrong_invoice_is_taken_back(office, client, invoices):
    payment = paid(office, client, "60", (invoices[0], "60"))
    allocation = payment["allocations"][0]
    path = f"/allocations/{allocation['id']}/reverse"
    reversal = made(office.post(path, {"reason": "Meant for the other."}))
    assert (reversal["amount"], due(office, invoices[0])) == ("-60.00", "117.50")
    share = {"invoice": invoices[1].pk, "amount": "60"}
    made(office.post(f"/payments/{payment['id']}/allocate", {"allocations": [share]}))
    # What was free again only from the day of the reversal on settles nothing before it.
    later = Allocation.objects.order_by("pk").last()
    assert later.booked_on == Allocation.objects.get(pk=reversal["id"]).booked_on > TODAY


def test_what_nobody_will_pay_is_written_off_with_a_reason(office, client, invoices):
    path = f"/invoices/{invoices[0].pk}/write-off"
    refused(office.post(path, {"amount": "1"}), 400, "invalid-input")
    refused(
        office.post(path, {"amount": "117.51", "reason": "Closed."}), 409, "written-off-beyond-due"
    )
    part = made(office.post(path, {"amount": "17.50", "reason": "Bank charges."}))
    assert (part["written_off_total"], part["due_total"]) == ("17.50", "100.00")
    rest = made(office.post(path, {"reason": "The school has closed."}))
    assert rest["due_total"] == "0.00"
    refused(office.post(path, {"reason": "Again."}), 409, "written-off-beyond-due")
    body = {"reason": "They paid after all."}
    made(office.post(f"/write-offs/{rest['write_offs'][1]['id']}/reverse", body))
    assert due(office, invoices[0]) == "100.00"


def test_a_draft_is_not_written_off(office, client):
    path = f"/invoices/{InvoiceFactory(client=client).pk}/write-off"
    refused(office.post(path, {"reason": "No."}), 409, "invoice-not-issued")


def test_a_credit_note_on_what_was_paid_becomes_the_clients_credit(office, client, invoices):
    first = invoices[0]
    early = paid(office, client, "50", (first, "50"))
    late = paid(office, client, "60", (first, "60"))
    made(office.post(f"/invoices/{first.pk}/write-off", {"reason": "Bank charges."}))
    # 7.50 were written off; of the 110 that were paid, 100 come free, the latest first.
    note = CreditNoteFactory(corrects=first, net_total=Decimal("91.49"), tax_total=Decimal("16.01"))

    assert office.post(f"/invoices/{note.pk}/issue").status_code == 200

    after = office.get(f"/invoices/{first.pk}").json()
    names = ("credited_total", "paid_total", "written_off_total", "due_total")
    assert [after[name] for name in names] == ["107.50", "10.00", "0.00", "0.00"]
    sources = [office.get(f"/payments/{each['id']}").json() for each in (early, late)]
    assert [each["credit_total"] for each in sources] == ["40.00", "60.00"]


def test_a_credit_note_on_what_is_owed_lowers_what_is_due(office, client, invoices):
    paid(office, client, "50", (invoices[0], "50"))
    note = CreditNoteFactory(
        corrects=invoices[0], net_total=Decimal("50.00"), tax_total=Decimal("8.75")
    )
    office.post(f"/invoices/{note.pk}/issue")
    assert due(office, invoices[0]) == "8.75"
    assert Allocation.objects.count() == 1
