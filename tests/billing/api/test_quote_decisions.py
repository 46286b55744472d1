from datetime import timedelta

from django.utils import timezone

from tests.billing.api.test_invoices import drafted, issued
from tests.billing.api.test_quotes import at, quoted, refused
from tests.factories.billing import QuoteFactory
from tests.factories.world import main_shelf


def test_declining_puts_the_parts_back(technician, workshop):
    workshop.find(range(60, 72))
    before = at(main_shelf())
    quote = quoted(technician, workshop)

    response = technician.post(f"/quotes/{quote['id']}/decline", {"reason": "Too dear."})

    assert response.json()["status"] == "declined"
    assert response.json()["decision_reason"] == "Too dear."
    assert at(main_shelf()) == before
    refused(technician.post(f"/quotes/{quote['id']}/decline"), 409, "quote-not-open")


def test_withdrawing_puts_the_parts_back(technician, workshop):
    workshop.find(range(60, 72))
    before = at(main_shelf())
    quote = quoted(technician, workshop, approve=True)
    response = technician.post(f"/quotes/{quote['id']}/withdraw")
    assert response.json()["status"] == "withdrawn"
    assert at(main_shelf()) == before


def test_a_quote_of_which_a_deposit_was_invoiced_is_withdrawn_once_that_is_credited(
    technician, office, workshop
):
    workshop.find([60])
    quote = quoted(technician, workshop, approve=True)
    path = f"/quotes/{quote['id']}/withdraw"
    draft = drafted(office, quote, "deposit-invoice", {"amount": "5"})
    refused(technician.post(path), 409, "already-invoiced")
    deposit = issued(office, draft)
    problem = refused(technician.post(path), 409, "already-invoiced")
    assert "credit that before withdrawing it" in problem["detail"]
    credit = office.post(f"/invoices/{deposit['id']}/credit", {"reason": "Called off"})
    issued(office, credit.json())
    assert technician.post(path).json()["status"] == "withdrawn"


def test_a_quote_is_approved_by_somebody_and_once(technician, workshop):
    workshop.find([60])
    path = f"/quotes/{quoted(technician, workshop)['id']}/approve"
    refused(technician.post(path), 400, "invalid-input")
    assert technician.post(path, {"approved_by": "H. Wick"}).json()["status"] == "approved"
    refused(technician.post(path, {"approved_by": "H. Wick"}), 409, "quote-not-open")


def test_an_expired_quote_is_not_approved(technician):
    yesterday = timezone.localdate() - timedelta(days=1)
    late, last_day = (
        QuoteFactory(valid_until=yesterday),
        QuoteFactory(valid_until=timezone.localdate()),
    )
    body = {"approved_by": "H. Wick"}
    problem = refused(technician.post(f"/quotes/{late.pk}/approve", body), 409, "quote-expired")
    assert f"was valid until {yesterday}" in problem["detail"]
    assert technician.post(f"/quotes/{last_day.pk}/approve", body).status_code == 200


def test_a_quote_that_is_not_there_is_not_found(technician):
    refused(technician.post("/quotes/1/approve", {"approved_by": "x"}), 404, "not-found")


def test_nobody_sees_quotes_without_a_token(nobody):
    refused(nobody.get("/quotes"), 401, "not-authenticated")
