"""What comes back under the shop's warranty is put right for nothing."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from billing.models import FeeKind
from diagnostics.models import ChargedPer, Finding, Remedy
from shop.models import ShopProfile
from tests.billing.api.test_quotes import quoted
from tests.factories.billing import FeeFactory
from tests.factories.diagnostics import ExaminationFactory


@pytest.fixture
def done(technician, workshop):
    """A completed job on C4 and C#4, a year of warranty, and a later look at the same piano."""
    ShopProfile.objects.update(warranty_days=365)
    workshop.find([60, 61])
    job = quoted(technician, workshop, approve=True)
    for finding in Finding.objects.all():
        work = {"finding": finding.pk, "remedy": "repin-hammer", "minutes": "4"}
        path = f"/quotes/{job['id']}/bench-work"
        cause = {"cause_found": "tight-flange", "result": "cured"}
        assert technician.post(path, work | cause).status_code == 201
    assert technician.post(f"/quotes/{job['id']}/complete").status_code == 200
    look_again(workshop, days=0)
    return job


def look_again(workshop, days, **instrument):
    workshop.examination = ExaminationFactory(
        **instrument or {"instrument": workshop.examination.instrument},
        examined_at=timezone.now() + timedelta(days=days),
    )


def shown(quote):
    return [
        (line["description"], line["quantity"], line["discount_amount"], line["net_amount"])
        for line in quote["lines"]
    ]


def reason(job):
    return f"Warranty: quote {job['id']}, done on {timezone.localdate()}."


def test_what_comes_back_costs_nothing_and_says_why(technician, workshop, done):
    workshop.find([60, 64])

    quote = quoted(technician, workshop)

    # 4 minutes at 60.00 an hour, 0.07 hours, for each; a pin for each at 0.40.
    assert shown(quote) == [
        ("Action out", "0.33", "0.00", "19.80"),
        ("Repin the hammer flange", "0.07", "0.00", "4.20"),
        ("Repin the hammer flange", "0.07", "4.20", "0.00"),
        ("Centre pins, sizes as found at the bench", "1", "0.00", "0.40"),
        ("Centre pins, sizes as found at the bench", "1", "0.40", "0.00"),
        ("Travel", "1", "0.00", "25.00"),
    ]
    assert [line["discount_reason"] for line in quote["lines"]] == [
        *("", "", reason(done)),
        *("", reason(done), ""),
    ]
    assert quote["net_total"] == "49.40"
    found = quote["diagnosis"]["findings"]
    assert [(finding["note"], finding["free_because"]) for finding in found] == [
        ("C4", reason(done)),
        ("E4", ""),
    ]
    # The bag holds a kit for both.
    assert sum(int(line["wanted_quantity"]) for line in quote["bag_lines"]) > 2


def test_a_job_that_is_all_warranty_costs_nothing_at_all(technician, workshop, done):
    FeeFactory(kind=FeeKind.MINIMUM, name="At least", amount=80)
    workshop.find([60, 61])
    quote = quoted(technician, workshop)
    assert {line["net_amount"] for line in quote["lines"]} == {"0.00"}
    assert {line["discount_reason"] for line in quote["lines"]} == {reason(done)}
    assert [quote[name] for name in ("net_total", "net_low", "net_high", "payable_total")] == [
        "0.00"
    ] * 4


def test_a_remedy_that_is_charged_once_is_free_when_all_that_asks_for_it_is(
    technician, workshop, done
):
    Remedy.objects.update(charged_per=ChargedPer.INSTRUMENT)
    workshop.find([60])
    labour = [line for line in quoted(technician, workshop)["lines"] if line["kind"] == "labour"]
    assert [line["net_amount"] for line in labour] == ["0.00"]
    workshop.find([64])
    again = quoted(technician, workshop, revise=True)
    labour = [line for line in again["lines"] if line["kind"] == "labour"]
    assert [line["net_amount"] for line in labour] == ["4.20"]


def test_the_margin_of_a_job_under_warranty_is_what_it_cost(technician, office, workshop, done):
    ShopProfile.objects.update(labour_cost_per_hour=30)
    workshop.find([60])
    job = quoted(technician, workshop, approve=True)
    work = {"note": "C4", "remedy": "repin-hammer", "minutes": "6", "result": "cured"}
    fitted = {"fitted": [{"part": "pin-20", "quantity": "1"}]}
    technician.post(f"/quotes/{job['id']}/bench-work", work | fitted)
    assert technician.post(f"/quotes/{job['id']}/complete").status_code == 200

    today = timezone.localdate()
    answer = office.get(f"/job-margins?opened_on={today}&closed_on={today}").json()

    (row,) = [item for item in answer["items"] if item["quote"] == job["id"]]
    # Six minutes at 30.00 an hour, and a pin that was bought at 0.10.
    assert [row[name] for name in ("quoted_net", "labour_cost", "parts_cost", "margin")] == [
        *("0.00", "3.00"),
        *("0.10", "-3.10"),
    ]


def test_plans_cost_what_their_quotes_do(technician, workshop, done):
    workshop.find([60])
    path = f"/examinations/{workshop.examination.pk}/plans"
    assert technician.get(path).json()["now"]["net_expected"] == "0.00"
    workshop.find([64])
    plans = technician.get(path).json()
    # 20 minutes of set-up and 4 of work at 60.00 an hour, a pin at 0.40, 25.00 of travel.
    assert plans["now"]["net_expected"] == "49.40"
    assert [each["code"] for each in plans["warnings"]] == ["findings-under-warranty"]


@pytest.mark.parametrize(
    ("warranty_days", "look"),
    [
        (0, {"days": 0}),
        (30, {"days": 31}),
        # An hour before the job was completed.
        (30, {"days": -1 / 24}),
        (30, {"days": 0, "instrument__action": "upright"}),
    ],
    ids=["no warranty", "later", "found before", "another instrument"],
)
def test_what_comes_back_under_no_warranty_is_charged(
    technician, workshop, done, warranty_days, look
):
    ShopProfile.objects.update(warranty_days=warranty_days)
    look_again(workshop, **look)
    workshop.find([60])
    assert {line["discount_amount"] for line in quoted(technician, workshop)["lines"]} == {"0.00"}


def test_the_warranty_costs_one_statement(technician, workshop):
    workshop.find([60])
    path = f"/examinations/{workshop.examination.pk}/quote"
    technician.post(path)
    with CaptureQueriesContext(connection) as without:
        technician.post(path, {"revise": True})
    ShopProfile.objects.update(warranty_days=365)
    with CaptureQueriesContext(connection) as with_warranty:
        technician.post(path, {"revise": True})
    assert len(with_warranty) == len(without) + 1
