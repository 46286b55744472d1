"""What goes back to suppliers: packs of an order, at the average cost."""

from decimal import Decimal

import pytest

from shop.models import Holding, Move, SupplierReturn
from tests.factories.purchasing import ReceiptFactory
from tests.factories.shop import PartFactory
from tests.factories.world import main_shelf, stock
from tests.shop.api.conftest import code_of, wrong
from tests.shop.api.deliveries import an_order, level, receive, send_back


def test_what_goes_back_leaves_at_the_average_and_is_not_awaited(office):
    order, pins = an_order({"packs": 4})
    receive(office, order, (1, 4))
    stock(pins.part, 100, Decimal("0.27"))
    back = send_back(office, order, (1, 1))
    # By hand: 400 for 38.00 and 100 for 27.00 are 0.13 each.
    assert back["lines"][0]["value"] == "13.00"
    assert (back["lines"][0]["quantity"], back["reason"]) == ("100", "Wrong size")
    assert office.get(f"supplier-returns/{back['id']}") == back
    assert Move.objects.latest("pk").reason == "returned"
    assert level(pins.part) == 400
    shown = office.get(f"purchase-orders/{order.pk}")
    assert (shown["status"], shown["lines"][0]["returned_packs"]) == ("closed", 1)
    assert shown["lines"][0]["open_packs"] == 0


def test_what_goes_back_to_be_replaced_is_awaited_again(office):
    order, pins = an_order({"packs": 4})
    receive(office, order, (1, 4))
    send_back(office, order, (1, 1), is_replaced=True)
    shown = office.get(f"purchase-orders/{order.pk}")
    assert (shown["status"], shown["closed_at"]) == ("part_received", None)
    assert shown["lines"][0]["open_packs"] == 1
    assert code_of(receive(office, order, (1, 2), status=409)) == "more-than-ordered"
    receive(office, order, (1, 1))
    assert level(pins.part) == 400
    assert office.get(f"purchase-orders/{order.pk}")["status"] == "closed"


def test_no_more_goes_back_than_came_or_is_there(office):
    order, pins = an_order({"packs": 4})
    receive(office, order, (1, 2))
    problem = send_back(office, order, (1, 3), status=409)
    assert wrong(problem) == [("/lines/0/packs", "more-than-received")]
    lines = [{"part": pins.part.code, "quantity": "50"}]
    office.post("scrapped", {"from_place": main_shelf().pk, "reason": "Rust", "lines": lines})
    problem = send_back(office, order, (1, 2), status=409)
    assert code_of(problem) == "stock-short"
    assert wrong(problem) == [("/lines/0/packs", "stock-short")]
    assert not SupplierReturn.objects.exists()
    send_back(office, order, (1, 2, "150"))
    assert level(pins.part) == 0
    assert Holding.objects.get(part=pins.part).value == 0


@pytest.fixture
def two_packs(office):
    """An order of a pack of three and a pack of seven of one part, which came for 5 cents."""
    part = PartFactory()
    order, *_ = an_order(
        {"part": part, "packs": 1, "pack_price": Decimal("0.02"), "contents_numerator": 3},
        {"part": part, "packs": 1, "pack_price": Decimal("0.03"), "contents_numerator": 7},
    )
    receive(office, order, (1, 1), (2, 1))
    return order, part


def test_two_packs_of_one_part_go_back_together_to_the_last_cent(office, two_packs):
    order, _ = two_packs
    values = [line["value"] for line in send_back(office, order, (1, 1), (2, 1))["lines"]]
    # By hand: 3 of 10 of 0.05 are 0.015; the last of a holding takes what is left.
    assert values == ["0.02", "0.03"]


def test_what_the_first_pack_takes_is_not_there_for_the_second(office, two_packs):
    order, part = two_packs
    lines = [{"part": part.code, "quantity": "2"}]
    office.post("scrapped", {"from_place": main_shelf().pk, "reason": "Rust", "lines": lines})
    problem = send_back(office, order, (1, 1), (2, 1), status=409)
    assert wrong(problem) == [("/lines/1/packs", "stock-short")]
    assert level(part) == 8


def test_receipts_and_returns_are_found_by_order_and_supplier(office):
    order, _ = an_order({})
    receipt, back = receive(office, order, (1, 2)), send_back(office, order, (1, 1))
    other = ReceiptFactory()
    for noun, made in (("receipts", receipt), ("supplier-returns", back)):
        for query in (f"purchase_order={order.pk}", f"supplier={order.supplier_id}"):
            assert office.get(f"{noun}?{query}")["items"] == [made]
        assert office.get(f"{noun}?purchase_order=999999")["items"] == []
    assert len(office.get("receipts")["items"]) == 2
    assert office.get(f"receipts?delivery_note={other.delivery_note}x")["items"] == []


def test_technicians_see_what_came_but_not_what_it_cost(technician, office):
    order, _ = an_order({})
    receipt, back = receive(office, order, (1, 2)), send_back(office, order, (1, 1))
    seen = technician.get(f"receipts/{receipt['id']}")
    assert set(receipt) - set(seen) == {"freight_amount", "duty_amount", "other_amount"}
    assert set(receipt["lines"][0]) - set(seen["lines"][0]) == {
        "pack_price",
        "goods_amount",
        "landed_amount",
    }
    seen = technician.get(f"supplier-returns/{back['id']}")
    assert set(back["lines"][0]) - set(seen["lines"][0]) == {"value"}
