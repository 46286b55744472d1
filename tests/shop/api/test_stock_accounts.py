import csv
from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.factories.shop import MoveFactory, PartFactory, PlaceFactory
from tests.factories.world import main_shelf, outside
from tests.shop.api.conftest import code_of, wrong

# A Monday, and what happened in the weeks from it on, at noon: worked out by hand.
MONDAY = datetime(2026, 3, 2, 12, tzinfo=UTC)


def moment(week, day=0):
    return MONDAY + timedelta(weeks=week, days=day)


def said(instant):
    return instant.strftime("%Y-%m-%dT%H:%M:%SZ")


@pytest.fixture
def pins(db):
    """A part that came, was moved about, used, scrapped, sent back and counted in five weeks."""
    part, shelf, van = PartFactory(code="pin-20", name="Pin"), main_shelf(), PlaceFactory()
    bag = PlaceFactory(bag=True)
    for when, source, target, quantity, value in [
        (moment(0), outside("supplier"), shelf, 40, "40.00"),
        (moment(0, 2), shelf, van, 6, "6.00"),
        (moment(1), outside("supplier"), shelf, 10, "13.40"),
        (moment(1, 3), shelf, bag, 12, "12.82"),
        (moment(1, 4), bag, outside("used"), 5, "5.34"),
        (moment(2), bag, outside("used"), 7, "7.48"),
        (moment(2, 1), van, outside("scrapped"), 1, "1.07"),
        (moment(3), shelf, outside("count_difference"), 2, "2.14"),
        (moment(3, 2), outside("count_difference"), van, 3, "3.20"),
        (moment(4), shelf, outside("supplier"), 4, "4.27"),
    ]:
        MoveFactory(
            part=part,
            from_place=source,
            to_place=target,
            quantity=quantity,
            value=Decimal(value),
            moved_at=when,
        )
    return part


NAMES = ("opening", "received", "returned", "used", "scrapped", "counted", "closing")


def account(row, what):
    return [row[f"{name}_{what}"] for name in NAMES]


def asked(opened_at, closed_at):
    return f"stock-account?opened_at={said(opened_at)}&closed_at={said(closed_at)}"


@pytest.mark.parametrize(
    ("opened_at", "closed_at", "quantities", "values"),
    [
        (  # all of it
            moment(-1),
            moment(5),
            ["0", "50", "4", "12", "1", "1", "34"],
            ["0.00", "53.40", "4.27", "12.82", "1.07", "1.06", "36.30"],
        ),
        (  # whole weeks between two that are cut
            moment(0),
            moment(3),
            ["40", "10", "0", "12", "1", "-2", "35"],
            ["40.00", "13.40", "0.00", "12.82", "1.07", "-2.14", "37.37"],
        ),
        (  # two weeks that meet
            moment(1, 3),
            moment(2),
            ["50", "0", "0", "12", "0", "0", "38"],
            ["53.40", "0.00", "0.00", "12.82", "0.00", "0.00", "40.58"],
        ),
        (  # within a week
            moment(1),
            moment(1, 4),
            ["50", "0", "0", "5", "0", "0", "45"],
            ["53.40", "0.00", "0.00", "5.34", "0.00", "0.00", "48.06"],
        ),
        (  # nothing moves
            moment(3),
            moment(3),
            ["35", "0", "0", "0", "0", "0", "35"],
            ["37.37", "0.00", "0.00", "0.00", "0.00", "0.00", "37.37"],
        ),
    ],
)
def test_the_account_of_a_period_ties_out(office, pins, opened_at, closed_at, quantities, values):
    answer = office.get(asked(opened_at, closed_at))
    [row], [pieces] = answer["items"], answer["unit_totals"]
    assert (row["part"], row["name"], row["unit"]) == ("pin-20", "Pin", "piece")
    assert account(row, "quantity") == quantities
    assert account(row, "value") == values
    assert account(pieces, "quantity") == quantities
    assert account(answer["total"], "value") == values
    for opening, received, returned, used, scrapped, counted, closing in (
        map(Decimal, quantities),
        map(Decimal, values),
    ):
        assert opening + received - returned - used - scrapped + counted == closing


def test_totals_add_up_quantities_by_unit_and_money_over_all(office, pins):
    for code in ("cloth-a", "cloth-b"):
        cloth = PartFactory(bushing_cloth=True, code=code)
        MoveFactory(part=cloth, quantity=Decimal("2.5"), value=Decimal("7.10"), moved_at=moment(0))
    answer = office.get(asked(moment(-1), moment(5)))
    units = {row["unit"]: row for row in answer["unit_totals"]}
    assert {unit: row["closing_quantity"] for unit, row in units.items()} == {
        "metre": "5",
        "piece": "34",
    }
    assert units["metre"]["received_value"] == "14.20"
    assert answer["total"]["closing_value"] == "50.50"


def test_a_part_that_was_neither_held_nor_moved_is_not_in_the_account(office, pins):
    PartFactory()
    assert [row["part"] for row in office.get(asked(moment(0), moment(1)))["items"]] == ["pin-20"]
    assert office.get(asked(moment(-2), moment(-1)))["items"] == []


def test_the_sheet_of_a_period_has_the_rows_of_the_account(office, pins):
    path = asked(moment(-1), moment(5))
    [row] = office.get(path)["items"]
    sheet = office("GET", f"{path}&format=csv").content.decode()
    # The counts found 3 and missed 2.
    assert list(csv.DictReader(sheet.splitlines())) == [row]


def test_a_period_that_ends_before_it_begins_is_refused(office):
    problem = office.get(asked(moment(1), moment(0)), 400)
    assert wrong(problem) == [("closed_at", "period-backwards")]
    assert office.get(asked(moment(1), moment(1)))["items"] == []


@pytest.mark.parametrize(
    ("at", "quantity", "value", "average"),
    [
        (moment(0), "40", "40.00", "1.00"),
        # 53.40 over 50 (weighted average cost: IAS 2, paragraph 27)
        (moment(1, 3), "50", "53.40", "1.068"),
        (moment(2), "38", "40.58", "1.0679"),  # 53.40 - 5.34 - 7.48, over 50 - 12
        (moment(9), "34", "36.30", "1.0676"),
    ],
)
def test_what_stock_was_worth_at_any_moment(office, pins, at, quantity, value, average):
    PartFactory()
    answer = office.get(f"stock-value?at={said(at)}")
    assert answer == {
        "at": said(at),
        "items": [
            {
                "part": "pin-20",
                "name": "Pin",
                "unit": "piece",
                "quantity": quantity,
                "value": value,
                "average_cost": average,
            }
        ],
        "total_value": value,
    }
    sheet = office("GET", f"stock-value?at={said(at)}&format=csv").content.decode()
    assert list(csv.DictReader(sheet.splitlines())) == answer["items"]


def test_before_anything_came_stock_was_worth_nothing(office, pins):
    answer = office.get(f"stock-value?at={said(moment(-1))}")
    assert (answer["items"], answer["total_value"]) == ([], "0.00")


@pytest.mark.parametrize("path", ["stock-value", "stock-account"])
def test_what_stock_cost_is_not_for_technicians(technician, office, pins, path):
    assert code_of(technician.get(path, 403)) == "forbidden"
    assert office.get(path)["items"]


@pytest.mark.parametrize(
    ("path", "most"), [(f"stock-value?at={said(moment(9))}", 5), (asked(moment(0), moment(9)), 8)]
)
def test_a_report_takes_as_many_statements_for_many_parts_as_for_one(office, pins, path, most):
    def statements():
        with CaptureQueriesContext(connection) as captured:
            office.get(path)
        return len(captured)

    of_one = statements()
    for _ in range(4):
        MoveFactory(moved_at=moment(1))
    assert statements() == of_one <= most
