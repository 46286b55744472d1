from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from shop.models import Holding, Level, Move
from tests.factories.shop import PartFactory, PlaceFactory
from tests.factories.world import main_shelf, outside, stock
from tests.shop.api.conftest import code_of, wrong

SHOWN_TO_ALL = {
    *("id", "part", "from_place", "to_place", "quantity", "reason", "reference"),
    *("moved_at", "moved_by"),
}


@pytest.fixture
def pins(db):
    """A part with ten pieces on the main shelf at 1.00 each."""
    part = PartFactory(code="pin-20")
    stock(part, 10, 1)
    return part


@pytest.fixture
def van(db):
    return PlaceFactory()


def level(part, place):
    return Level.objects.get(part=part, place=place).quantity


def lines(*entries):
    return [dict(zip(("part", "quantity", "unit_cost"), entry, strict=False)) for entry in entries]


def test_goods_received_raise_the_level_and_move_the_average(office, pins):
    body = {
        "place": main_shelf().pk,
        "reference": "Delivery note 7",
        "lines": lines(("pin-20", "30", "2.00")),
    }
    [move] = office.post("goods-received", body)["items"]
    assert set(move) == SHOWN_TO_ALL | {"value"}
    assert {name: move[name] for name in ("part", "quantity", "value", "reason", "reference")} == {
        "part": "pin-20",
        "quantity": "30",
        "value": "60.00",
        "reason": "received",
        "reference": "Delivery note 7",
    }
    assert (move["to_place"], move["moved_by"]) == (main_shelf().pk, office.user.pk)
    assert level(pins, main_shelf()) == 40
    # 10 at 1.00 and 30 at 2.00 are 40 at 70.00, 1.75 each (weighted average cost: IAS 2, 27).
    assert office.get("parts/pin-20")["average_cost"] == "1.75"
    assert office.get(f"moves/{move['id']}") == move


def test_every_wrong_line_is_pointed_at_and_nothing_is_posted(office, pins):
    PartFactory(bushing_cloth=True, code="cloth")
    body = {
        "place": main_shelf().pk,
        "lines": lines(
            ("no-such-part", "1", "1"),
            ("pin-20", "1.5", "1"),
            ("cloth", "0.333", "9"),
            ("cloth", "1", "9"),
        ),
    }
    assert wrong(office.post("goods-received", body, 400)) == [
        ("/lines/0/part", "unknown-part"),
        ("/lines/1/quantity", "quantity-not-whole"),
        ("/lines/3/part", "named-twice"),
    ]
    assert Move.objects.count() == 1


@pytest.mark.parametrize(
    ("field", "value", "code"),
    [
        ("quantity", "0", "min-value"),
        ("quantity", "-5", "min-value"),
        ("quantity", "0.0001", "max-decimal-places"),
        ("quantity", "1e12", "max-digits"),
        ("quantity", "Infinity", "invalid"),
        ("quantity", None, "null"),
        ("unit_cost", "-0.01", "min-value"),
        ("unit_cost", "lots", "invalid"),
        ("part", 20, "invalid"),
        ("price", "1", "unknown-member"),
    ],
)
def test_a_line_with_a_value_that_cannot_be_right_is_refused(office, pins, field, value, code):
    line = {"part": "pin-20", "quantity": "1", "unit_cost": "1", field: value}
    body = {"place": main_shelf().pk, "lines": [line]}
    assert (f"/lines/0/{field}", code) in wrong(office.post("goods-received", body, 400))
    assert Move.objects.count() == 1


@pytest.mark.parametrize(("count", "code"), [(0, "empty"), (201, "max-length")])
def test_a_paper_has_one_to_two_hundred_lines(office, count, code):
    body = {"place": main_shelf().pk, "lines": lines(*[("pin-20", "1", "1")] * count)}
    problem = office.post("goods-received", body, 400)
    assert [each["code"] for each in problem["errors"]] == [code]


def test_a_value_beyond_the_column_is_refused(office, pins):
    body = {"place": main_shelf().pk, "lines": lines(("pin-20", "90000000", "90000000"))}
    assert code_of(office.post("goods-received", body, 400)) == "invalid-input"
    assert Move.objects.count() == 1


def test_goods_are_not_received_into_a_job_bag_or_a_closed_van(office, pins):
    bag, closed = PlaceFactory(bag=True), PlaceFactory(is_active=False)
    body = {"place": bag.pk, "lines": lines(("pin-20", "1", "1"))}
    problem = office.post("goods-received", body, 409)
    assert code_of(problem) == "not-shelf-or-van"
    assert wrong(problem) == [("/place", "not-shelf-or-van")]
    problem = office.post("goods-received", {**body, "place": closed.pk}, 409)
    assert code_of(problem) == "place-closed"
    assert Move.objects.count() == 1


def test_a_technician_loads_a_van_and_sees_no_value(technician, pins, van):
    body = {
        "from_place": main_shelf().pk,
        "to_place": van.pk,
        "lines": lines(("pin-20", "4")),
    }
    [move] = technician.post("transfers", body)["items"]
    assert set(move) == SHOWN_TO_ALL
    assert (move["reason"], move["quantity"]) == ("transferred", "4")
    assert (level(pins, main_shelf()), level(pins, van)) == (6, 4)
    assert Move.objects.get(pk=move["id"]).moved_by == technician.user


def test_a_transfer_of_more_than_there_is_names_each_line_and_moves_nothing(technician, pins, van):
    PartFactory(code="strap")
    body = {
        "from_place": main_shelf().pk,
        "to_place": van.pk,
        "lines": lines(("pin-20", "10"), ("strap", "1")),
    }
    problem = technician.post("transfers", body, 409)
    assert code_of(problem) == "stock-short"
    assert wrong(problem) == [("/lines/1/quantity", "stock-short")]
    assert level(pins, main_shelf()) == 10
    body["lines"] = lines(("pin-20", "11"))
    assert wrong(technician.post("transfers", body, 409)) == [("/lines/0/quantity", "stock-short")]
    assert level(pins, main_shelf()) == 10


def test_a_transfer_goes_from_a_place_to_another_of_the_shops_own(technician, pins, van):
    bag = PlaceFactory(bag=True)
    body = {"from_place": main_shelf().pk, "to_place": bag.pk, "lines": lines(("pin-20", "1"))}
    assert wrong(technician.post("transfers", body, 409)) == [("/to_place", "not-shelf-or-van")]
    body |= {"from_place": bag.pk, "to_place": van.pk}
    assert wrong(technician.post("transfers", body, 409)) == [("/from_place", "not-shelf-or-van")]
    body |= {"from_place": van.pk}
    stock(pins, 1, 1, place=van)
    assert code_of(technician.post("transfers", body, 409)) == "same-place"
    body |= {"to_place": 999}
    assert wrong(technician.post("transfers", body, 400)) == [("/to_place", "does-not-exist")]


def test_what_is_scrapped_leaves_the_shelf_at_the_average_cost(office, pins):
    body = {
        "from_place": main_shelf().pk,
        "reason": "Rust",
        "lines": lines(("pin-20", "3")),
    }
    [move] = office.post("scrapped", body)["items"]
    assert (move["reason"], move["reference"], move["value"]) == ("scrapped", "Rust", "3.00")
    assert level(pins, main_shelf()) == 7
    problem = office.post("scrapped", {**body, "lines": lines(("pin-20", "8"))}, 409)
    assert wrong(problem) == [("/lines/0/quantity", "stock-short")]
    del body["reason"]
    assert wrong(office.post("scrapped", body, 400)) == [("/reason", "required")]
    assert level(pins, main_shelf()) == 7


def test_a_count_makes_levels_what_was_found(office, pins):
    strap, cord = PartFactory(code="strap", cost=Decimal("0.40")), PartFactory(code="cord")
    stock(cord, 2, 1)
    body = {
        "place": main_shelf().pk,
        "lines": lines(("pin-20", "0"), ("strap", "5"), ("cord", "2")),
    }
    moves = office.post("counts", body)["items"]
    # What is found and was never held comes in at the expected cost: 5 at 0.40.
    assert {(move["part"], move["quantity"], move["value"]) for move in moves} == {
        ("pin-20", "10", "10.00"),
        ("strap", "5", "2.00"),
    }
    assert [level(part, main_shelf()) for part in (pins, strap, cord)] == [0, 5, 2]
    assert Holding.objects.get(part=pins).value == 0
    assert office.post("counts", body)["items"] == []


def test_a_count_is_not_negative_nor_of_a_job_bag(office, pins):
    body = {"place": main_shelf().pk, "lines": lines(("pin-20", "-1"))}
    assert wrong(office.post("counts", body, 400)) == [("/lines/0/quantity", "min-value")]
    body = {"place": PlaceFactory(bag=True).pk, "lines": lines(("pin-20", "1"))}
    assert wrong(office.post("counts", body, 409)) == [("/place", "not-shelf-or-van")]
    assert level(pins, main_shelf()) == 10


def test_what_no_order_brought_goes_back_at_the_average_cost(office, pins):
    body = {
        "from_place": main_shelf().pk,
        "reference": "Wrong size",
        "lines": lines(("pin-20", "3")),
    }
    [move] = office.post("goods-returned", body)["items"]
    assert (move["reason"], move["value"]) == ("returned", "3.00")
    assert move["to_place"] == outside("supplier").pk
    assert (level(pins, main_shelf()), Holding.objects.get(part=pins).value) == (7, 7)
    account = office.get("stock-account")["items"][0]
    assert (account["returned_quantity"], account["returned_value"]) == ("3", "3.00")
    problem = office.post("goods-returned", {**body, "lines": lines(("pin-20", "8"))}, 409)
    assert code_of(problem) == "stock-short"
    assert level(pins, main_shelf()) == 7


@pytest.mark.parametrize("path", ["goods-received", "goods-returned", "scrapped", "counts"])
def test_technicians_post_no_paper_but_transfers(technician, path):
    assert code_of(technician.post(path, {}, 403)) == "forbidden"


def test_the_same_key_posts_a_paper_once(office, pins):
    body = {"place": main_shelf().pk, "lines": lines(("pin-20", "30", "2.00"))}
    first = office("POST", "goods-received", body, Idempotency_Key="delivery-7")
    again = office("POST", "goods-received", body, Idempotency_Key="delivery-7")
    assert first.json() == again.json()
    assert level(pins, main_shelf()) == 40


def test_a_paper_of_twenty_lines_takes_as_many_statements_as_one_of_one(office):
    def statements(count):
        parts = [PartFactory() for _ in range(count)]
        entries = [(part.code, "3", "1.00") for part in parts]
        body = {"place": main_shelf().pk, "lines": lines(*entries)}
        with CaptureQueriesContext(connection) as captured:
            office.post("goods-received", body)
        return len(captured)

    assert statements(20) == statements(1) < 15
