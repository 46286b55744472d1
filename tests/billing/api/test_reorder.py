import csv
import io
from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from tests.factories.billing import BagLineFactory, QuoteFactory
from tests.factories.shop import MoveFactory, PartFactory, SupplierFactory
from tests.factories.world import main_shelf, outside

COSTS = {"pack_price", "economic_packs", "suggested_cost"}


@pytest.fixture
def hammer_felt(db):
    """A part bought by the ten, of which four were used in each of the last twenty weeks."""
    part = PartFactory(
        code="felt",
        name="Hammer felt",
        pack_quantity=10,
        cost=Decimal("0.50"),
        lead_time_days=14,
        supplier=SupplierFactory(name="Cloth and Felt Guild"),
    )
    now = timezone.now()
    MoveFactory(part=part, quantity=85, value=40, moved_at=now - timedelta(weeks=20))
    for week in range(1, 21):
        MoveFactory(
            part=part,
            from_place=main_shelf(),
            to_place=outside("used"),
            quantity=4,
            value=1,
            reason="fitted",
            moved_at=now - timedelta(weeks=week),
        )
    return part


def row(caller, **parameters):
    response = caller.get("/reorder-report", **parameters)
    assert response.status_code == 200, response.content
    (found,) = response.json()["items"]
    return found


def test_the_report_says_what_to_order_and_why(office, hammer_felt):
    found = row(office)
    why = {reason["number"]: reason["formula"] for reason in found.pop("why")}

    assert found == {
        "part": "felt",
        "name": "Hammer felt",
        "unit": "piece",
        "supplier": "Cloth and Felt Guild",
        "offer": None,
        "on_hand": "5",
        "on_order": "0",
        "in_drafted_orders": "0",
        "in_job_bags": "0",
        "short_on_quotes": "0",
        "approval_chance": "0.667",
        "position": "5",
        "weeks": 20,
        "demand_pattern": "smooth",
        "mean_interval_weeks": "1",
        "squared_variation": "0",
        "forecast_method": "mean",
        "forecast_per_week": "4",
        "forecast_error_per_week": "0",
        "lead_time_days": "14",
        "lead_time_spread_days": "3.5",
        "review_days": 7,
        "service_level_percent": "95",
        "safety_factor": "1.645",
        # By hand: 4 x 14 / 7, and 4 x 3.5 / 7, since demand itself does not vary; half a week of it
        # below the point; 1.645 x √(2² + 2²).
        "lead_time_demand": "8",
        "lead_time_demand_spread": "2",
        "undershoot": "2",
        "safety_stock": "4.652",
        "reorder_point": "15",
        "days_of_cover": 8,
        "pack_quantity": "10",
        # 20.857 packs a year at 5: √(2 x 20.857 x 8 / 1) = 18.27, but demand is known for the 80
        # of 20 weeks alone; up to 15 + 80 from 5.
        "economic_packs": 8,
        "suggested_packs": 9,
        "added_for_minimum_packs": 0,
        "suggested_quantity": "90",
        "pack_price": "5.00",
        "suggested_cost": "45.00",
    }
    assert why["lead_time_demand_spread"] == "√(14 / 7 × 0.00² + 4.00² × (3.5 / 7)²) = 2.00"
    assert set(why) <= found.keys()


def test_what_it_costs_is_for_the_office(technician, office, hammer_felt):
    told, hidden = row(office), row(technician)
    assert told.keys() - hidden.keys() == COSTS
    numbers = [{reason["number"] for reason in each["why"]} for each in (told, hidden)]
    assert numbers[0] - numbers[1] == {"economic_packs"}


def test_the_report_comes_as_a_sheet_with_the_same_numbers(office, technician, hammer_felt):
    response = office.get("/reorder-report", accept="text/csv")
    (line,) = csv.DictReader(io.StringIO(response.content.decode()))
    found = row(office)
    del line["why"]
    assert line == {name: "" if found[name] is None else str(found[name]) for name in line}
    assert line.keys() >= COSTS
    sheet = technician.get("/reorder-report", accept="text/csv").content.decode()
    assert not COSTS & set(sheet.splitlines()[0].split(","))


def test_what_need_not_be_ordered_can_be_left_out(office, hammer_felt):
    PartFactory(code="quiet")
    assert [each["part"] for each in office.get("/reorder-report").json()["items"]] == [
        "felt",
        "quiet",
    ]
    needed = office.get("/reorder-report?needed_only=true").json()["items"]
    assert [each["part"] for each in needed] == ["felt"]


def test_a_part_that_is_no_longer_bought_is_not_ordered(office, hammer_felt):
    hammer_felt.is_active = False
    hammer_felt.save()
    assert office.get("/reorder-report").json()["items"] == []


def test_orders_are_grouped_by_supplier(office, technician, hammer_felt):
    for code in ("glue", "wire"):
        part = PartFactory(code=code, cost=2)
        BagLineFactory(
            quote=QuoteFactory(approved=True), part=part, wanted_quantity=3, taken_quantity=0
        )

    groups = office.get("/reorder-report/by-supplier").json()["items"]

    named = [(group["name"], [each["part"] for each in group["rows"]]) for group in groups]
    assert named == [("Cloth and Felt Guild", ["felt"]), ("", ["glue", "wire"])]
    assert [group["cost"] for group in groups] == [
        str(sum(Decimal(each["suggested_cost"]) for each in group["rows"])) for group in groups
    ]
    hidden = technician.get("/reorder-report/by-supplier").json()["items"]
    assert groups[0].keys() - hidden[0].keys() == {
        *("cost", "minimum_order_value", "missing_to_minimum")
    }


@pytest.mark.parametrize("query", ["needed_only=perhaps", "part=felt", "format=xml"])
def test_a_parameter_that_there_is_not_is_refused(office, query):
    response = office.get(f"/reorder-report?{query}")
    assert response.status_code in {400, 406}
    assert response["Content-Type"] == "application/problem+json"


@pytest.mark.parametrize("level", ["49.99", "100", "often", "95.123"])
def test_a_service_level_that_makes_no_sense_is_refused(office, hammer_felt, level):
    tag = office.get("/parts/felt")["ETag"]
    body = f'{{"service_level_percent": "{level}"}}'
    response = office("PATCH", "/parts/felt", body, if_match=tag)
    assert response.status_code == 400
    assert response.json()["errors"][0]["pointer"] == "/service_level_percent"
    assert row(office)["service_level_percent"] == "95"


def test_a_parts_service_level_is_set_and_taken_back(office, hammer_felt):
    for level, shown in (('"99"', "99"), ("null", "95")):
        tag = office.get("/parts/felt")["ETag"]
        body = f'{{"service_level_percent": {level}}}'
        assert office("PATCH", "/parts/felt", body, if_match=tag).status_code == 200
        assert row(office)["service_level_percent"] == shown
