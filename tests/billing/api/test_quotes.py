from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from billing.models import Fee, FeeKind, LabourRate, Quote
from diagnostics.models import Finding
from shop.models import Level, Place, PlaceKind, ShopProfile, TaxRate
from tests.factories.billing import FeeFactory, QuoteFactory
from tests.factories.diagnostics import MeasurementFactory
from tests.factories.world import main_shelf


def quoted(caller, workshop, **body):
    response = caller.post(f"/examinations/{workshop.examination.pk}/quote", body)
    assert response.status_code == 201, response.content
    return response.json()


def refused(response, status, code):
    assert response.status_code == status, response.content
    assert response["Content-Type"] == "application/problem+json"
    problem = response.json()
    assert problem["type"].endswith(f"/problems/{code}")
    return problem


def at(place):
    return {
        level.part.code: level.quantity
        for level in Level.objects.filter(place=place).select_related("part")
    }


def test_a_quote_is_costed_from_the_findings(technician, workshop):
    workshop.find([60, 61, 62])

    quote = quoted(technician, workshop)

    # 20 minutes for the set-up once, 4 for each of three flanges, 60.00 an hour; a pin a flange.
    assert [
        (line["description"], line["quantity"], line["net_amount"]) for line in quote["lines"]
    ] == [
        ("Action out", "0.33", "19.80"),
        ("Repin the hammer flange", "0.2", "12.00"),
        ("Centre pins, sizes as found at the bench", "3", "1.20"),
        ("Travel", "1", "25.00"),
    ]
    assert (quote["net_total"], quote["gross_total"], quote["currency"]) == (
        "58.00",
        "58.00",
        "EUR",
    )
    assert (quote["net_low"], quote["net_high"]) == ("50.20", "66.40")
    assert (quote["minutes_low"], quote["minutes_likely"], quote["minutes_high"]) == (
        "24",
        "32",
        "40",
    )
    assert quote["status"] == "offered"
    assert [finding["note"] for finding in quote["diagnosis"]["findings"]] == ["C4", "C#4", "D4"]


def test_shelf_stock_goes_down_by_exactly_the_kit_and_the_bag_holds_it(technician, workshop):
    workshop.find(range(60, 72))
    before = at(main_shelf())

    quote = quoted(technician, workshop)

    kit = {line["part"]: Decimal(line["taken_quantity"]) for line in quote["bag_lines"]}
    # 12 flanges whose four shares weigh 7, 6, 4 and 3 pins: found with scipy's beta-binomial as the
    # smallest common quantile at which all four suffice in 95 % of jobs.
    assert kit == {"pin-20": 9, "pin-20-5": 8, "pin-21": 6, "pin-21-5": 6}
    assert at(Place.objects.get(pk=quote["bag"])) == kit
    assert at(main_shelf()) == {part: before[part] - kit[part] for part in before}


def test_what_the_shelf_lacks_is_marked_short(technician, workshop):
    workshop.find(range(21, 109))

    quote = quoted(technician, workshop)

    line = quote["bag_lines"][0]
    assert (line["part"], line["wanted_quantity"], line["taken_quantity"]) == ("pin-20", "54", "20")
    assert line["short_quantity"] == "34"
    assert quote["is_short"] is True


def test_require_stock_refuses_and_changes_nothing(technician, workshop):
    workshop.find(range(21, 109))
    before = at(main_shelf())
    path = f"/examinations/{workshop.examination.pk}/quote"

    problem = refused(technician.post(path, {"require_stock": True}), 409, "stock-short")

    assert problem["errors"][0]["detail"] == "34 of pin-20 are short."
    assert at(main_shelf()) == before
    assert not Quote.objects.exists()
    assert not Place.objects.filter(kind=PlaceKind.BAG).exists()


def test_require_stock_lets_through_what_is_there(technician, workshop):
    workshop.find([60])
    assert quoted(technician, workshop, require_stock=True)["is_short"] is False


def test_a_pin_that_was_measured_needs_no_kit(technician, workshop):
    workshop.find([60, 61])
    MeasurementFactory(
        finding=Finding.objects.get(note_midi=60),
        quantity="pin_diameter_um",
        value=1270,
        radius_mm=None,
    )

    quote = quoted(technician, workshop)

    wanted = {line["part"]: line["wanted_quantity"] for line in quote["bag_lines"]}
    # One known: a half size above 1270; one unknown: a kit for one flange.
    assert wanted == {"pin-20": "1", "pin-20-5": "2", "pin-21": "1", "pin-21-5": "1"}
    described = [line["description"] for line in quote["lines"]]
    assert "Centre pin 20.5" in described


def test_an_examination_without_findings_is_not_quoted(technician, workshop):
    path = f"/examinations/{workshop.examination.pk}/quote"
    refused(technician.post(path), 409, "nothing-to-quote")


def test_undecided_findings_are_named_unless_left_out(technician, workshop):
    workshop.find([60])
    workshop.find([61], cause=None)
    undecided = Finding.objects.get(note_midi=61)
    path = f"/examinations/{workshop.examination.pk}/quote"

    problem = refused(technician.post(path), 409, "findings-undecided")
    assert [error["pointer"] for error in problem["errors"]] == [f"/findings/{undecided.pk}/remedy"]

    quote = quoted(technician, workshop, leave_out_undecided=True)
    assert [finding["id"] for finding in quote["diagnosis"]["undecided"]] == [undecided.pk]
    Finding.objects.exclude(pk=undecided.pk).delete()
    body = {"leave_out_undecided": True, "revise": True}
    refused(technician.post(path, body), 409, "findings-undecided")


def test_approving_on_the_spot_is_one_call(technician, workshop):
    workshop.find([60])
    quote = quoted(technician, workshop, approve=True, approved_by="The caretaker")
    assert (quote["status"], quote["decided_by_name"]) == ("approved", "The caretaker")


def test_the_fees_are_chosen(technician, workshop):
    FeeFactory(kind=FeeKind.INSPECTION, name="Looking over", amount=30)
    workshop.find([60])
    quote = quoted(technician, workshop, fees=["inspection"])
    fee = quote["lines"][-1]
    assert (fee["description"], fee["net_amount"]) == ("Looking over", "30.00")


def test_tax_is_charged_by_a_registered_shop_at_the_rate_of_the_day(technician, workshop):
    ShopProfile.objects.update(is_tax_registered=True, tax_number="XX 123")
    workshop.find([60])
    path = f"/examinations/{workshop.examination.pk}/quote"
    refused(technician.post(path), 409, "tax-rate-missing")

    category = LabourRate.objects.get().tax_category
    TaxRate.objects.create(category=category, percent=20, valid_from=timezone.localdate())
    quote = quoted(technician, workshop)

    assert quote["net_total"] == "49.40"
    assert [(tax["tax_code"], tax["tax_percent"], tax["tax_amount"]) for tax in quote["taxes"]] == [
        ("S", "20", "9.88")
    ]
    assert quote["gross_total"] == "59.28"


def test_a_shop_that_is_not_registered_says_why_it_charges_no_tax(technician, workshop):
    workshop.find([60])
    (tax,) = quoted(technician, workshop)["taxes"]
    assert (tax["tax_code"], tax["tax_amount"]) == ("O", "0.00")
    assert tax["exemption_reason"] == "No tax is charged, since we are not registered for it."


def test_no_labour_rate_is_said_so(technician, workshop):
    workshop.find([60])
    LabourRate.objects.update(valid_until=timezone.localdate())
    path = f"/examinations/{workshop.examination.pk}/quote"
    refused(technician.post(path), 409, "labour-rate-missing")


def test_a_fee_that_is_not_kept_is_said_so(technician, workshop):
    workshop.find([60])
    Fee.objects.all().delete()
    path = f"/examinations/{workshop.examination.pk}/quote"
    refused(technician.post(path), 409, "fee-unknown")


@pytest.mark.parametrize(
    ("body", "pointer"),
    [
        ({"discount": {"percent": "101", "reason": "x"}}, "/discount/percent"),
        ({"discount": {"percent": "1", "amount": "1", "reason": "x"}}, "/discount"),
        ({"discount": {"percent": "5"}}, "/discount/reason"),
        ({"discounts": [{"percent": "5", "reason": "x"}]}, "/discounts/0"),
        ({"discounts": [{"fee": "travel", "percent": "5", "reason": "x"}] * 2}, "/discounts"),
        ({"deposit": {"percent": "-1"}}, "/deposit/percent"),
        ({"validity_days": 0}, "/validity_days"),
        ({"fees": ["ransom"]}, "/fees/0"),
        ({"fees": ["travel", "travel"]}, "/fees"),
        ({"from_place": 0}, "/from_place"),
        ({"approve": "perhaps"}, "/approve"),
        ({"colour": "blue"}, "/colour"),
    ],
)
def test_terms_that_cannot_be_are_pointed_at(technician, workshop, body, pointer):
    workshop.find([60])
    path = f"/examinations/{workshop.examination.pk}/quote"
    problem = refused(technician.post(path, body), 400, "invalid-input")
    assert [error["pointer"] for error in problem["errors"]] == [pointer]
    assert not Quote.objects.exists()


def test_a_quote_takes_under_40_statements(technician, workshop):
    workshop.find(range(21, 109))
    path = f"/examinations/{workshop.examination.pk}/quote"
    with CaptureQueriesContext(connection) as statements:
        response = technician.post(path, Idempotency_Key="88-findings")
    assert response.status_code == 201
    assert len(statements) < 40


def test_the_number_of_statements_does_not_grow_with_the_findings(technician, workshop):
    path = f"/examinations/{workshop.examination.pk}/quote"
    workshop.find([60])
    technician.post(path)
    with CaptureQueriesContext(connection) as one:
        technician.post(path, {"revise": True})
    workshop.find([note for note in range(21, 109) if note != 60])
    with CaptureQueriesContext(connection) as many:
        technician.post(path, {"revise": True})
    assert len(many) == len(one)


def test_the_list_takes_the_same_statements_for_one_and_for_five(technician):
    QuoteFactory()
    with CaptureQueriesContext(connection) as one:
        assert len(technician.get("/quotes").json()["items"]) == 1
    for _ in range(4):
        QuoteFactory()
    with CaptureQueriesContext(connection) as five:
        assert len(technician.get("/quotes").json()["items"]) == 5
    assert len(five) == len(one)


def test_a_quote_is_read_again_as_it_was_made(technician, workshop):
    workshop.find([60])
    quote = quoted(technician, workshop)
    assert technician.get(f"/quotes/{quote['id']}").json() == quote
