"""Extra work on an approved quote, and what a job took beside what was quoted."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import connection, transaction
from django.test.utils import CaptureQueriesContext

from billing.models import FeeKind, LabourRate, QuoteChange
from shop.models import Part, Place, ShopProfile, TaxCategory
from tests.billing.api.test_quotes import at, quoted, refused
from tests.factories.billing import FeeFactory, LabourRateFactory, QuoteFactory
from tests.factories.diagnostics import RemedyFactory, RemedyPartFactory, SetUpFactory
from tests.factories.shop import PartFactory
from tests.factories.world import NOW, TODAY, main_shelf, stock

REASON = "The dampers stick too."


@pytest.fixture
def job(technician, workshop):
    """An approved quote: 20 minutes' set-up, 12 of repinning, three pins, travel: 58.00."""
    workshop.find([60, 61, 62])
    deeper = SetUpFactory(
        code="stack-off",
        name="Stack off",
        actions=["upright"],
        depth=4,
        minutes_low=20,
        minutes_likely=30,
        minutes_high=40,
    )
    times = {"minutes_low": 6, "minutes_likely": 6, "minutes_high": 6}
    plain = {"actions": ["upright"], "charged_per": "note", **times}
    RemedyFactory(code="ease", name="Ease the key", set_up=workshop.repin.set_up, **plain)
    felt = RemedyFactory(code="felt", name="New damper felt", set_up=deeper, **plain)
    part = PartFactory(code="felt", name="Damper felt", price=Decimal("1.50"))
    stock(part, 3, Decimal("0.50"))
    RemedyPartFactory(remedy=felt, part=part, quantity=2)
    return quoted(technician, workshop, approve=True, approved_by="The caretaker")


def changed(caller, job, **body):
    response = caller.post(f"/quotes/{job['id']}/changes", {"reason": REASON} | body)
    assert response.status_code == 201, response.content
    return response.json()


def shown(change):
    return [(line["description"], line["quantity"], line["net_amount"]) for line in change["lines"]]


def tolerance(percent, most=None):
    ShopProfile.objects.update(change_tolerance_percent=percent, change_tolerance_amount=most)


def test_extra_work_is_priced_as_the_quote_was_and_proposed(technician, job):
    # The job has its least already.
    FeeFactory(kind=FeeKind.MINIMUM, name="At least", amount=50)
    change = changed(technician, job, remedy="felt", notes="C4-D4")

    # By hand: three notes of 6 minutes at 60.00; the set-up is 10 minutes more of 30 than the 20
    # charged, 5 at least and 15 at most; two felts a note at 1.50.
    assert shown(change) == [
        ("Stack off", "0.17", "10.20"),
        ("New damper felt", "0.3", "18.00"),
        ("Damper felt", "6", "9.00"),
    ]
    assert (change["status"], change["net_total"]) == ("proposed", "37.20")
    assert (change["notes"], change["reason"], change["number"]) == ("C4-D4", REASON, 1)
    assert change["tolerance_left"] == "0.00"
    assert "local consumer law" in change["local_law"]
    assert [(part["part"], part["wanted_quantity"]) for part in change["parts"]] == [("felt", "6")]
    assert at(main_shelf())["felt"] == 3


def test_an_approved_change_goes_into_the_bag_as_far_as_stock_goes(technician, office, job):
    change = changed(technician, job, remedy="felt", notes="C4-D4")
    path = f"/quote-changes/{change['id']}"

    answer = technician.post(f"{path}/approve", {"approved_by": "The caretaker"}).json()

    assert (answer["status"], answer["decided_by_name"]) == ("approved", "The caretaker")
    refused(technician.post(f"{path}/decline"), 409, "change-decided")
    assert at(Place.objects.get(pk=job["bag"]))["felt"] == 3
    assert at(main_shelf())["felt"] == 0
    bag = {
        line["part"]: line for line in technician.get(f"/quotes/{job['id']}").json()["bag_lines"]
    }
    assert (bag["felt"]["wanted_quantity"], bag["felt"]["short_quantity"]) == ("6", "3")
    (short,) = [
        row for row in office.get("/reorder-report").json()["items"] if row["part"] == "felt"
    ]
    assert short["short_on_quotes"] == "3"


def test_a_change_costs_as_many_statements_on_many_notes_as_on_one(technician, job):
    stock(Part.objects.get(code="felt"), 500, Decimal("0.50"))
    counts = []
    for notes in ("C3", "D3", "C4-C6"):
        with CaptureQueriesContext(connection) as made:
            change = changed(technician, job, remedy="felt", notes=notes)
        path = f"/quote-changes/{change['id']}/approve"
        with CaptureQueriesContext(connection) as approved:
            assert technician.post(path, {"approved_by": "The head"}).status_code == 200
        counts.append((len(made), len(approved)))
    # The first makes the bag line, and prepares the statements.
    assert counts[1] == counts[2]
    assert max(counts[2]) < 40


def test_a_declined_change_moves_nothing(technician, job):
    change = changed(technician, job, remedy="felt", notes="C4")
    path = f"/quote-changes/{change['id']}/decline"
    answer = technician.post(path, {"declined_by": "The head", "reason": "Too dear."}).json()
    assert (answer["status"], answer["decision_reason"]) == ("declined", "Too dear.")
    assert at(main_shelf())["felt"] == 3


def test_within_the_tolerance_work_is_done_at_once_and_no_further(technician, job):
    tolerance(20)
    first = changed(technician, job, remedy="ease", notes="C4")
    # A fifth of 58.00 is 11.60; easing one key is 6.00, with no set-up, which is as deep as was
    # quoted; so 5.60 is left, and the second is asked for.
    assert (first["status"], first["net_total"], first["tolerance_left"]) == (
        "tolerated",
        "6.00",
        "11.60",
    )
    second = changed(technician, job, remedy="ease", notes="D4")
    assert (second["status"], second["tolerance_left"]) == ("proposed", "5.60")
    refused(technician.post(f"/quote-changes/{first['id']}/decline"), 409, "change-decided")
    tolerance(100, most=Decimal("11.99"))
    assert changed(technician, job, remedy="ease", notes="E4")["status"] == "proposed"
    tolerance(100, most=Decimal(12))
    assert changed(technician, job, remedy="ease", notes="E4")["status"] == "tolerated"
    tolerance(20)
    technician.post(f"/quote-changes/{second['id']}/approve", {"approved_by": "The head"})
    # A fifth of 58.00 and of the 6.00 agreed since is 12.80, of which 12.00 are used up.
    assert changed(technician, job, remedy="ease", notes="F4")["tolerance_left"] == "0.80"


def test_extra_work_has_the_prices_of_the_day_of_the_quote(technician, workshop):
    LabourRate.objects.update(valid_until=TODAY + timedelta(days=1))
    LabourRateFactory(
        code="dearer",
        per_hour=90,
        valid_from=TODAY + timedelta(days=1),
        tax_category=TaxCategory.objects.get(),
    )
    quote = QuoteFactory(examination=workshop.examination, made_at=NOW, approved=True)
    change = changed(technician, {"id": quote.pk}, remedy="repin-hammer", notes="C4")
    assert {line["unit_price"] for line in change["lines"] if line["unit"] == "hour"} == {"60.00"}


def test_more_of_a_part_of_the_quote_joins_its_bag_line(technician, workshop, job):
    tolerance(100)
    before = at(Place.objects.get(pk=job["bag"]))
    change = changed(technician, job, remedy="repin-hammer", notes="E4,F4")
    kit = {part["part"]: Decimal(part["wanted_quantity"]) for part in change["parts"]}
    assert sum(kit.values()) >= 2
    after = at(Place.objects.get(pk=job["bag"]))
    assert after == {code: before[code] + kit.get(code, 0) for code in before}
    lines = technician.get(f"/quotes/{job['id']}").json()["bag_lines"]
    assert {line["part"]: Decimal(line["taken_quantity"]) for line in lines} == after


def test_getting_further_in_is_charged_once_whichever_change_is_agreed_first(technician, job):
    first, second, shallow = (
        changed(technician, job, remedy=remedy, notes=note)
        for remedy, note in (("felt", "C4"), ("felt", "E4"), ("ease", "E4"))
    )

    def approve(change):
        path = f"/quote-changes/{change['id']}/approve"
        return technician.post(path, {"approved_by": "The head"})

    assert approve(second).json()["net_total"] == "19.20"
    refused(approve(first), 409, "set-up-charged")
    assert approve(shallow).status_code == 200
    technician.post(f"/quote-changes/{first['id']}/decline")
    # 6.00 and two felts at 1.50, without the 10.20 of the stack.
    again = approve(changed(technician, job, remedy="felt", notes="C4")).json()
    assert (again["status"], again["net_total"]) == ("approved", "9.00")


@pytest.mark.parametrize(
    ("body", "pointer", "code"),
    [
        ({"remedy": "prayer"}, "/remedy", "remedy-unknown"),
        ({"remedy": "ease", "notes": "H9"}, "/notes", "note-unreadable"),
        ({"remedy": "ease", "reason": ""}, "/reason", "blank"),
    ],
)
def test_a_change_that_cannot_be_read_is_refused(technician, job, body, pointer, code):
    response = technician.post(f"/quotes/{job['id']}/changes", {"reason": REASON} | body)
    problem = refused(response, 400, "invalid-input")
    assert [(error["pointer"], error["code"]) for error in problem["errors"]] == [(pointer, code)]


def test_work_is_added_to_an_approved_quote_alone(technician, workshop):
    workshop.find([60])
    quote = quoted(technician, workshop)
    body = {"remedy": "repin-hammer", "reason": REASON}
    refused(technician.post(f"/quotes/{quote['id']}/changes", body), 409, "quote-not-open")
    assert not QuoteChange.objects.exists()


def test_a_quote_is_withdrawn_once_its_changes_are_decided(technician, job):
    change = changed(technician, job, remedy="felt", notes="C4")
    path = f"/quotes/{job['id']}/withdraw"
    refused(technician.post(path), 409, "change-undecided")
    technician.post(f"/quote-changes/{change['id']}/decline")
    assert technician.post(path).json()["status"] == "withdrawn"


def test_a_quote_with_extra_work_that_was_agreed_is_not_revised(technician, workshop, job):
    path = f"/examinations/{workshop.examination.pk}/quote"
    change = changed(technician, job, remedy="ease", notes="C4")
    refused(technician.post(path, {"revise": True}), 409, "work-begun")
    technician.post(f"/quote-changes/{change['id']}/decline")
    tolerance(100)
    with transaction.atomic():
        assert quoted(technician, workshop, revise=True)["version"] == 2
        transaction.set_rollback(True)
    changed(technician, job, remedy="ease", notes="C4")
    refused(technician.post(path, {"revise": True}), 409, "work-begun")


def test_the_job_waits_for_the_decision_and_the_invoice_has_the_lines(technician, office, job):
    tolerance(11)
    changed(technician, job, remedy="ease", notes="C4")
    change = changed(technician, job, remedy="felt", notes="C4")
    dropped = changed(technician, job, remedy="ease", notes="E4")
    work = {"note": "C4", "remedy": "repin-hammer", "minutes": "9", "result": "cured"}
    technician.post(f"/quotes/{job['id']}/bench-work", work)
    refused(technician.post(f"/quotes/{job['id']}/complete"), 409, "change-undecided")
    technician.post(f"/quote-changes/{change['id']}/approve", {"approved_by": "The head"})
    technician.post(f"/quote-changes/{dropped['id']}/decline")
    technician.post(f"/quotes/{job['id']}/complete")

    # Of the quote's 58.00 without the first line's 19.80, of easing 6.00, and of felt 6.00 with two
    # at 1.50 and 10.20 to get further in, 60.00 can be taken off at the end.
    for verb, body in (("deposit-invoice", {"amount": "60.00"}), ("part-invoice", {"lines": [1]})):
        draft = office.post(f"/quotes/{job['id']}/{verb}", body).json()
        office.post(f"/invoices/{draft['id']}/issue")
    invoice = office.post(f"/quotes/{job['id']}/invoice").json()

    described = [line["description"] for line in invoice["lines"]]
    assert described[3:-1] == ["Ease the key", "Stack off", "New damper felt", "Damper felt"]
    assert invoice["payable_total"] == "3.40"
    office.post(f"/invoices/{invoice['id']}/issue")
    refused(office.post(f"/quotes/{job['id']}/invoice"), 409, "already-invoiced")


def test_what_a_job_took_stands_beside_what_was_quoted(technician, job):
    tolerance(100)
    changed(technician, job, remedy="ease", notes="C4")
    for remedy, note, minutes in (
        ("repin-hammer", "C4", "9"),
        ("repin-hammer", "C#4", "5.5"),
        ("ease", "C4", "4"),
        ("felt", "E4", "3"),
    ):
        fitted = [{"part": "pin-20", "quantity": "1"}] if remedy == "repin-hammer" else []
        body = {"note": note, "remedy": remedy, "minutes": minutes, "result": "cured"}
        response = technician.post(f"/quotes/{job['id']}/bench-work", body | {"fitted": fitted})
        assert response.status_code == 201, response.content

    report = technician.get(f"/quotes/{job['id']}/work").json()

    assert [
        (
            row["remedy"],
            row["quoted_minutes"]["likely"],
            row["added_minutes"]["likely"],
            row["expected_minutes"],
            row["real_minutes"],
            row["difference_minutes"],
            row["done_times"],
        )
        for row in report["remedies"]
    ] == [
        ("ease", "0", "6", "6", "4", "-2", 1),
        ("felt", "0", "0", "0", "3", "3", 1),
        ("repin-hammer", "12", "0", "12", "14.5", "2.5", 2),
    ]
    # 20 minutes of set-up, 12 of repinning and 6 of easing against 21.5 at the bench.
    assert report["set_up_minutes"] == {"low": "15", "likely": "20", "high": "25"}
    total = report["total"]
    assert (total["expected_minutes"], total["real_minutes"]) == ("38", "21.5")
    assert total["difference_minutes"] == "-16.5"
    pins = {part["part"]: part for part in report["parts"]}["pin-20"]
    assert pins["fitted_quantity"] == "2"
    assert Decimal(pins["taken_quantity"]) == Decimal(pins["wanted_quantity"])
    assert "PERT" in report["formulas"][0]["name"]
