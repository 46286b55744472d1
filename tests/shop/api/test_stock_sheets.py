"""Opening stock and counts as sheets: through the ledger, and onto count sheets."""

from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from shop.api.stock_sheets import COUNT_SHEET, OPENING_SHEET
from shop.models import CountSheet, CountSheetLine, Holding, Level, Move
from tests.factories.shop import PartFactory, PlaceFactory
from tests.factories.world import main_shelf, stock
from tests.shop.api.conftest import code_of, wrong
from tests.shop.api.sheets import exported, fates, reasons, send


@pytest.fixture
def parts(db):
    return [
        PartFactory(code="hammer-shank"),
        PartFactory(code="damper-felt-wedge", unit="metre"),
    ]


def held(part):
    holding = Holding.objects.get(part=part)
    return holding.quantity, holding.value


def test_the_example_of_opening_stock_is_tried_then_posted(office, parts):
    assert fates(send(office, "opening-stock/trial", OPENING_SHEET)) == ["made", "made"]
    assert not Move.objects.exists()
    assert send(office, "opening-stock/import", OPENING_SHEET)["made"] == 2
    # By hand: 240 x 1.4525 and 3.75 x 4.20.
    assert [held(part) for part in parts] == [
        (240, Decimal("348.60")),
        (Decimal("3.75"), Decimal("15.75")),
    ]
    [move] = office.get("moves?part=hammer-shank")["items"]
    assert (move["reason"], move["to_place"]) == ("opening", main_shelf().pk)
    assert move["moved_by"] == office.user.pk
    # It is there now; the same again changes nothing.
    assert fates(send(office, "opening-stock/import", OPENING_SHEET)) == ["unchanged"] * 2
    account = office.get("stock-account")["total"]
    assert (account["received_value"], account["closing_value"]) == ("364.35", "364.35")


@pytest.mark.parametrize(
    ("quantity", "unit_cost"),
    # Where a value of whole cents has more than one unit cost of four places, and where none.
    [("3", "0.3333"), ("7", "0.0049"), ("1000", "0.0123"), ("99.999", "1.2345"), ("0.001", "12")],
)
def test_opening_stock_that_was_exported_changes_nothing(office, quantity, unit_cost):
    PartFactory(code="cloth", unit="metre")
    sheet = f"part,place,quantity,unit_cost\ncloth,Main shelf,{quantity},{unit_cost}\n"
    send(office, "opening-stock/import", sheet)
    outcome = send(office, "opening-stock/import", exported(office, "opening-stock"))
    assert fates(outcome) == ["unchanged"]
    assert Move.objects.count() == 1


def test_opening_stock_that_the_shop_refuses_is_named_and_nothing_is_posted(office, parts):
    PlaceFactory(name="Bag 1", bag=True)
    PlaceFactory(name="Old van", is_active=False)
    stock(PartFactory(code="moved"), 1, 1)
    PartFactory(code="third")
    PartFactory(code="fourth")
    sheet = """\
part,place,quantity,unit_cost
damper-felt-wedge,Main shelf,0.5,1
hammer-shank,Main shelf,0.5,1
hammer-shank,Bag 1,5,1
hammer-shank,Attic,5,1
hammer-shark,Main shelf,5,1
moved,Main shelf,5,1
damper-felt-wedge,Main shelf,1,1
third,Old van,1,1
fourth,Main shelf,99999999,99999999
"""
    expected = [
        ("/1/quantity", "quantity-not-whole"),
        ("/2/place", "not-shelf-or-van"),
        ("/3/place", "does-not-exist"),
        ("/4/part", "does-not-exist"),
        ("/5/part", "part-has-moves"),
        ("/6/part", "row-repeated"),
        ("/7", "place-closed"),
        ("/8", "invalid-input"),  # more money than the ledger can hold
    ]
    assert reasons(send(office, "opening-stock/trial", sheet)) == expected
    problem = send(office, "opening-stock/import", sheet, 409)
    assert (code_of(problem), wrong(problem)) == ("sheet-refused", expected)
    assert Move.objects.count() == 1


def test_values_that_cannot_be_are_named_by_line_and_column(office, parts):
    sheet = """\
part,place,quantity,unit_cost,currency
hammer-shank,Main shelf,0,1.00001,USD
hammer-shank,Main shelf,1.0005,-1,EUR
"""
    problem = send(office, "opening-stock/import", sheet, 400)
    assert wrong(problem) == [
        ("/0/quantity", "min-value"),
        ("/0/unit_cost", "max-decimal-places"),
        ("/0/currency", "other-currency"),
        ("/1/quantity", "max-decimal-places"),
        ("/1/unit_cost", "min-value"),
    ]


def test_a_part_that_was_opened_is_not_opened_again(office, parts):
    send(office, "opening-stock/import", OPENING_SHEET)
    PlaceFactory(name="Van 1")
    more = """\
part,place,quantity,unit_cost
hammer-shank,Van 1,4,1
hammer-shank,Main shelf,241,1.4525
damper-felt-wedge,Main shelf,3.75,4.21
"""
    assert reasons(send(office, "opening-stock/trial", more)) == [
        (f"/{row}/part", "part-has-moves") for row in range(3)
    ]


def test_a_sheet_of_counts_fills_the_count_sheet_of_the_place(office, parts):
    for part, quantity in zip(parts, (240, 4), strict=True):
        stock(part, quantity, 1)
    sheet = office.post("count-sheets", {"place": main_shelf().pk})
    blank = exported(office, "counts")
    assert blank.splitlines() == [
        "place,part,counted_quantity",
        "Main shelf,damper-felt-wedge,",
        "Main shelf,hammer-shank,",
    ]
    assert fates(send(office, "counts/import", blank)) == ["unchanged"] * 2
    [first, _] = send(office, "counts/trial", COUNT_SHEET)["items"]
    assert first["changes"] == [{"column": "counted_quantity", "old": "", "new": "238"}]
    assert not CountSheetLine.objects.filter(counted_quantity__isnull=False).exists()
    assert send(office, "counts/import", COUNT_SHEET)["changed"] == 2
    filled = exported(office, "counts")
    assert send(office, "counts/import", filled)["unchanged"] == 2
    # Cells that are empty say nothing of what was written before.
    assert send(office, "counts/import", blank)["unchanged"] == 2
    office.post(f"count-sheets/{sheet['id']}/settle", {"reason": "Quarterly count"}, 200)
    levels = [Level.objects.get(part=part, place=main_shelf()).quantity for part in parts]
    assert levels == [238, Decimal("3.5")]
    assert exported(office, "counts").splitlines() == ["place,part,counted_quantity"]
    assert reasons(send(office, "counts/trial", COUNT_SHEET)) == [
        ("/0/place", "not-being-counted"),
        ("/1/place", "not-being-counted"),
    ]


def test_counts_that_the_shop_refuses_are_named_and_nothing_is_written(office, parts):
    PlaceFactory(name="Van 1")
    office.post("count-sheets", {"place": main_shelf().pk})
    sheet = """\
place,part,counted_quantity
Main shelf,hammer-shank,3
Main shelf,hammer-shank,4
Van 1,hammer-shank,1
Main shelf,damper-felt-wedge,
Attic,hammer-shark,1
"""
    expected = [
        ("/1/part", "row-repeated"),
        ("/2/place", "not-being-counted"),
        ("/3/counted_quantity", "required"),
        ("/4/part", "does-not-exist"),
        ("/4/place", "does-not-exist"),
    ]
    tried = send(office, "counts/trial", sheet)
    assert (reasons(tried), tried["made"]) == (expected, 1)
    assert wrong(send(office, "counts/import", sheet, 409)) == expected
    half = "place,part,counted_quantity\nMain shelf,hammer-shank,1.5\n"
    assert reasons(send(office, "counts/trial", half)) == [
        ("/0/counted_quantity", "quantity-not-whole")
    ]
    negative = "place,part,counted_quantity\nMain shelf,hammer-shank,-1\n"
    assert wrong(send(office, "counts/import", negative, 400)) == [
        ("/0/counted_quantity", "min-value")
    ]
    assert not CountSheetLine.objects.exists()


def test_a_sheet_of_a_hundred_takes_as_many_statements_as_one_of_one(office):
    def statements(count):
        place, made = PlaceFactory(), [PartFactory() for _ in range(count)]
        opening = [f"{part.code},{place.name},3,1.25" for part in made]
        counted = [f"{part.code},{place.name},2" for part in made]
        with CaptureQueriesContext(connection) as captured:
            send(
                office,
                "opening-stock/import",
                "\n".join(["part,place,quantity,unit_cost", *opening]),
            )
            office.post("count-sheets", {"place": place.pk})
            send(office, "counts/import", "\n".join(["part,place,counted_quantity", *counted]))
        assert CountSheet.objects.get(place=place).lines.count() == count
        return len(captured)

    assert statements(100) == statements(1)
