from decimal import Decimal

import pytest

from billing.models import Invoice
from shop.models import Level, Move, MoveReason, Place, PlaceKind
from tests.billing.api.test_quotes import at, quoted, refused
from tests.factories.world import main_shelf


@pytest.fixture
def approved(technician, workshop):
    workshop.find(range(60, 72))
    return quoted(technician, workshop, approve=True)


def work(note="C4", **values):
    done = {"note": note, "remedy": "repin-hammer", "minutes": "5.5", "result": "cured"}
    return done | values


def test_what_was_fitted_is_used_and_the_rest_goes_back(technician, workshop, approved):
    before = at(main_shelf())
    taken = at(Place.objects.get(pk=approved["bag"]))
    path = f"/quotes/{approved['id']}"
    fitted = [{"part": "pin-20", "quantity": "2"}, {"part": "pin-20-5", "quantity": 1}]

    assert technician.post(f"{path}/bench-work", work(fitted=fitted)).status_code == 201
    assert technician.post(f"{path}/bench-work", work("C#4", fitted=fitted[:1])).status_code == 201
    response = technician.post(f"{path}/complete")

    assert response.json()["status"] == "completed"
    used = at(Place.objects.get(kind=PlaceKind.USED))
    assert used == {"pin-20": 4, "pin-20-5": 1}
    returned = {part: quantity - before[part] for part, quantity in at(main_shelf()).items()}
    assert {part: used.get(part, 0) + returned[part] for part in taken} == taken
    assert set(at(Place.objects.get(pk=approved["bag"])).values()) == {Decimal(0)}


def test_over_all_places_a_part_sums_to_nothing(technician, workshop, approved):
    path = f"/quotes/{approved['id']}"
    technician.post(f"{path}/bench-work", work(fitted=[{"part": "pin-20", "quantity": "2"}]))
    technician.post(f"{path}/complete")
    for part in workshop.pins.values():
        assert sum(Level.objects.filter(part=part).values_list("quantity", flat=True)) == 0


def test_a_done_job_says_what_its_parts_had_cost(technician, office, workshop, approved):
    path = f"/quotes/{approved['id']}"
    bag = Place.objects.get(pk=approved["bag"])
    assert office.get(f"{path}/parts-used").json() == {"items": [], "total_value": "0.00"}
    fitted = [{"part": "pin-20", "quantity": "2"}, {"part": "pin-20-5", "quantity": 1}]
    technician.post(f"{path}/bench-work", work(fitted=fitted))
    technician.post(f"{path}/complete")

    used = office.get(f"{path}/parts-used").json()

    assert [(row["part"], row["unit"], row["quantity"]) for row in used["items"]] == [
        ("pin-20", "piece", "2"),
        ("pin-20-5", "piece", "1"),
    ]
    moves = Move.objects.filter(from_place=bag, reason=MoveReason.FITTED).order_by("part__code")
    assert [Decimal(row["value"]) for row in used["items"]] == [move.value for move in moves]
    assert Decimal(used["total_value"]) == sum(move.value for move in moves) > 0
    assert technician.get(f"{path}/parts-used").status_code == 403


@pytest.mark.parametrize(
    "fitted",
    [
        [{"part": "pin-20", "quantity": "10"}],  # the bag holds 9
        [{"part": "pin-21", "quantity": "5"}, {"part": "pin-20", "quantity": "99"}],
    ],
)
def test_what_is_not_in_the_bag_cannot_be_fitted(technician, workshop, approved, fitted):
    path = f"/quotes/{approved['id']}/bench-work"
    problem = refused(technician.post(path, work(fitted=fitted)), 409, "not-in-bag")
    assert [error["pointer"] for error in problem["errors"]] == [
        f"/fitted/{len(fitted) - 1}/quantity"
    ]
    assert technician.get("/bench-work").json()["items"] == []


def test_a_part_that_the_quote_never_had_cannot_be_fitted(technician, workshop, approved):
    path = f"/quotes/{approved['id']}/bench-work"
    body = work(fitted=[{"part": "pin-99", "quantity": "1"}])
    refused(technician.post(path, body), 400, "invalid-input")


def test_work_needs_an_approved_quote(technician, workshop):
    workshop.find([60])
    quote = quoted(technician, workshop)
    refused(technician.post(f"/quotes/{quote['id']}/bench-work", work()), 409, "quote-not-open")


@pytest.mark.parametrize(
    ("values", "pointer"),
    [
        ({"note": "C9"}, "/note"),
        ({"remedy": "prayer"}, "/remedy"),
        ({"minutes": "-1"}, "/minutes"),
        ({"result": "splendid"}, "/result"),
    ],
)
def test_work_that_cannot_be_is_pointed_at(technician, workshop, approved, values, pointer):
    path = f"/quotes/{approved['id']}/bench-work"
    problem = refused(technician.post(path, work(**values)), 400, "invalid-input")
    assert [error["pointer"] for error in problem["errors"]] == [pointer]


def test_a_job_is_completed_by_what_was_done(technician, workshop, approved):
    refused(technician.post(f"/quotes/{approved['id']}/complete"), 409, "no-bench-work")


def test_begun_work_is_completed_and_not_withdrawn(technician, workshop, approved):
    technician.post(f"/quotes/{approved['id']}/bench-work", work())
    refused(technician.post(f"/quotes/{approved['id']}/withdraw"), 409, "work-begun")


@pytest.fixture
def completed(technician, approved):
    technician.post(f"/quotes/{approved['id']}/bench-work", work())
    return technician.post(f"/quotes/{approved['id']}/complete").json()


def drafted(office, completed):
    response = office.post(f"/quotes/{completed['id']}/invoice")
    assert response.status_code == 201, response.content
    return response.json()


def test_the_invoice_has_the_lines_that_were_promised(office, completed):
    invoice = drafted(office, completed)
    same = ("description", "quantity", "unit_price", "net_amount", "tax_percent")
    assert [[line[name] for name in same] for line in invoice["lines"]] == [
        [line[name] for name in same] for line in completed["lines"]
    ]
    assert invoice["gross_total"] == completed["gross_total"]
    assert (invoice["status"], invoice["number"]) == ("draft", "")


def test_an_invoice_is_made_of_a_completed_quote_and_once(office, technician, workshop, completed):
    drafted(office, completed)
    refused(office.post(f"/quotes/{completed['id']}/invoice"), 409, "already-invoiced")


def test_an_open_quote_is_not_invoiced(office, approved):
    refused(office.post(f"/quotes/{approved['id']}/invoice"), 409, "quote-not-completed")


def test_technicians_do_not_invoice(technician, completed):
    refused(technician.post(f"/quotes/{completed['id']}/invoice"), 403, "forbidden")
    refused(technician.get("/invoices"), 403, "forbidden")


def test_an_issued_invoice_has_the_next_number_and_stands(office, completed):
    draft = drafted(office, completed)
    issued = office.post(f"/invoices/{draft['id']}/issue").json()
    year = issued["issued_on"][:4]
    assert (issued["status"], issued["number"]) == ("issued", f"{year}-00001")
    assert issued["buyer"]["name"] == Invoice.objects.get().client.name
    refused(office.post(f"/invoices/{draft['id']}/issue"), 409, "invoice-issued")


def test_a_draft_can_be_thrown_away_and_an_issued_invoice_cannot(office, completed):
    draft = drafted(office, completed)
    etag = office.get(f"/invoices/{draft['id']}")["ETag"]
    assert office("DELETE", f"/invoices/{draft['id']}", If_Match=etag).status_code == 204

    again = drafted(office, completed)
    office.post(f"/invoices/{again['id']}/issue")
    etag = office.get(f"/invoices/{again['id']}")["ETag"]
    response = office("DELETE", f"/invoices/{again['id']}", If_Match=etag)
    refused(response, 409, "invoice-issued")


def test_payments_bring_down_what_is_due(office, completed):
    invoice = drafted(office, completed)
    path = f"/invoices/{invoice['id']}"
    office.post(f"{path}/issue")
    total = Decimal(invoice["gross_total"])

    after = office.post(f"{path}/payments", {"amount": "20.00", "method": "cash"}).json()
    assert (after["paid_total"], after["due_total"]) == ("20.00", f"{total - 20}")
    rest = {"amount": str(total - 20), "method": "transfer", "reference": "Hall fund"}
    assert office.post(f"{path}/payments", rest).json()["due_total"] == "0.00"
    problem = refused(
        office.post(f"{path}/payments", {"amount": "0.01", "method": "cash"}),
        409,
        "paid-beyond-due",
    )
    assert problem["errors"][0]["pointer"] == "/amount"


def test_a_draft_is_not_paid(office, completed):
    invoice = drafted(office, completed)
    body = {"amount": "1.00", "method": "cash"}
    refused(office.post(f"/invoices/{invoice['id']}/payments", body), 409, "invoice-not-issued")


@pytest.mark.parametrize(
    ("body", "pointer"),
    [
        ({"amount": "0", "method": "cash"}, "/amount"),
        ({"amount": "-5", "method": "cash"}, "/amount"),
        ({"amount": "1.001", "method": "cash"}, "/amount"),
        ({"amount": "1e400", "method": "cash"}, "/amount"),
        ({"amount": "1", "method": "barter"}, "/method"),
        ({"amount": "1", "method": "cash", "booked_on": "2026-02-30"}, "/booked_on"),
    ],
)
def test_a_payment_that_cannot_be_is_pointed_at(office, completed, body, pointer):
    invoice = drafted(office, completed)
    office.post(f"/invoices/{invoice['id']}/issue")
    response = office.post(f"/invoices/{invoice['id']}/payments", body)
    problem = refused(response, 400, "invalid-input")
    assert [error["pointer"] for error in problem["errors"]] == [pointer]
