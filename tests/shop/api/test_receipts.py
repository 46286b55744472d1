"""What comes of an order and what goes back: packs turned into stock units, at what they cost."""

from datetime import timedelta
from decimal import Decimal
from fractions import Fraction

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from shop.models import Holding, Move, PurchaseOrder, Receipt
from tests.factories.purchasing import (
    ReceiptFactory,
)
from tests.factories.shop import PartFactory, PlaceFactory
from tests.factories.world import TODAY, main_shelf, stock
from tests.shop.api.conftest import code_of, wrong
from tests.shop.api.deliveries import an_order, level, receive, send_back

A_KILOGRAM_OF_PINS = Fraction(170_000_000_000, 45_359_237)  # 1700 to the pound of 453.59237 g


def test_packs_come_as_stock_units_at_their_price_and_their_share_of_the_freight(office):
    order, pins, straps = an_order(
        {"packs": 4, "pack_price": Decimal("9.50")}, {"packs": 2, "pack_price": Decimal("31.00")}
    )
    receipt = receive(
        office,
        order,
        (1, 4),
        (2, 2),
        freight_amount="9.00",
        duty_amount="1.50",
        other_amount="0.01",
        delivery_note="DN 71",
    )
    # By hand: goods 38.00 and 62.00; 10.51 by 38 to 62 is 3.9938 and 6.5162, so 3.99 and 6.51 are
    # given and the coin left goes to the second, which lost most.
    assert [
        (line["packs"], line["quantity"], line["goods_amount"], line["landed_amount"])
        for line in receipt["lines"]
    ] == [(4, "400", "38.00", "3.99"), (2, "200", "62.00", "6.52")]
    assert (receipt["order_number"], receipt["delivery_note"]) == (
        PurchaseOrder.objects.get().number,
        "DN 71",
    )
    assert office.get(f"receipts/{receipt['id']}") == receipt
    # Costs of purchase are part of what goods cost: IAS 2, 11.
    holdings = Holding.objects.in_bulk([pins.part_id, straps.part_id])
    assert (holdings[pins.part_id].quantity, holdings[pins.part_id].value) == (
        400,
        Decimal("41.99"),
    )
    assert holdings[straps.part_id].value == Decimal("68.52")
    moves = Move.objects.order_by("id")
    assert {move.reason for move in moves} == {"received"}
    assert {move.reference for move in moves} == {receipt["order_number"]}


def test_what_comes_moves_the_average(office):
    order, line = an_order({"packs": 1, "pack_price": Decimal(20)})
    stock(line.part, 100, Decimal("0.10"))
    receive(office, order, (1, 1))
    # 100 at 0.10 and 100 at 0.20 are 200 at 30.00 (weighted average cost: IAS 2, 27).
    assert office.get(f"parts/{line.part.code}")["average_cost"] == "0.15"


def test_an_order_is_part_received_and_then_closed(office):
    order, pins, _ = an_order({"packs": 4}, {"packs": 1})
    receive(office, order, (1, 3))
    shown = office.get(f"purchase-orders/{order.pk}")
    assert shown["status"] == "part_received"
    assert [
        (line["received_packs"], line["received_quantity"], line["open_packs"])
        for line in shown["lines"]
    ] == [(3, "300", 1), (0, "0", 1)]
    receive(office, order, (1, 1), (2, 1))
    shown = office.get(f"purchase-orders/{order.pk}")
    assert (shown["status"], shown["closed_by"]) == ("closed", office.user.pk)
    assert level(pins.part) == 400
    assert code_of(receive(office, order, (1, 1), status=409)) == "order-not-awaited"
    assert level(pins.part) == 400


def test_more_than_was_ordered_is_refused_unless_it_is_said(office):
    order, pins, straps = an_order({"packs": 4}, {"packs": 1})
    problem = receive(office, order, (2, 1), (1, 5), status=409)
    assert code_of(problem) == "more-than-ordered"
    assert wrong(problem) == [("/lines/1/packs", "more-than-ordered")]
    assert not Receipt.objects.exists()
    assert not Move.objects.exists()
    receipt = receive(office, order, (2, 1), (1, 5), accept_more_than_ordered=True)
    assert [line["is_over_accepted"] for line in receipt["lines"]] == [False, True]
    shown = office.get(f"purchase-orders/{order.pk}")
    assert [(line["open_packs"], line["over_packs"]) for line in shown["lines"]] == [(0, 1), (0, 0)]
    assert (level(pins.part), level(straps.part)) == (500, 100)


def test_what_was_counted_goes_into_stock_beside_what_the_packs_should_hold(office):
    order, pins = an_order({"packs": 2})
    [line] = receive(office, order, (1, 2, "188"))["lines"]
    assert (line["stated_quantity"], line["quantity"]) == ("200", "188")
    assert level(pins.part) == 188
    # The packs cost what they cost: 2 at 9.50.
    assert Holding.objects.get(part=pins.part).value == 19


def test_pins_by_weight_come_in_whole_pieces_and_the_remainder_is_kept(office):
    numerator, denominator = A_KILOGRAM_OF_PINS.as_integer_ratio()
    order, pins = an_order(
        {"packs": 8, "contents_numerator": numerator, "contents_denominator": denominator}
    )
    # By hand: 3747.8584.. pins a kilogram, so 1, 2 ... 8 kilograms are 3747, 7495, 11243, 14991,
    # 18739, 22487, 26235 and 29982 whole pins.
    came = [receive(office, order, (1, 1))["lines"][0]["quantity"] for _ in range(8)]
    assert came == ["3747", "3748", "3748", "3748", "3748", "3748", "3748", "3747"]
    assert level(pins.part) == 29_982


def test_cloth_by_the_yard_comes_in_metres(office):
    cloth = PartFactory(bushing_cloth=True)
    order, _ = an_order(
        {"part": cloth, "packs": 3, "contents_numerator": 1143, "contents_denominator": 1250}
    )
    receive(office, order, (1, 3))
    assert level(cloth) == Decimal("2.743")  # 3 yd are 2.7432 m


def test_another_price_than_was_ordered_is_what_it_cost(office):
    order, pins = an_order({"packs": 3})
    body = {
        "place": main_shelf().pk,
        "lines": [{"position": 1, "packs": 3, "pack_price": "10.0050"}],
    }
    receipt = office.post(f"purchase-orders/{order.pk}/receipts", body)
    # By hand: 30.015, halves away from zero.
    assert receipt["lines"][0]["goods_amount"] == "30.02"
    assert Holding.objects.get(part=pins.part).value == Decimal("30.02")


@pytest.mark.parametrize(
    ("line", "pointer", "code"),
    [
        ({"packs": 0}, "/lines/0/packs", "min-value"),
        ({"packs": -1}, "/lines/0/packs", "min-value"),
        ({"position": 2}, "/lines/0/position", "no-such-line"),
        ({"counted_quantity": "0"}, "/lines/0/counted_quantity", "min-value"),
        ({"counted_quantity": "1.5"}, "/lines/0/counted_quantity", "quantity-not-whole"),
        ({"pack_price": "-1"}, "/lines/0/pack_price", "min-value"),
        ({"unit": "pound"}, "/lines/0/unit", "unknown-member"),
    ],
)
def test_a_line_that_cannot_be_right_is_refused(office, line, pointer, code):
    order, _ = an_order({})
    body = {"place": main_shelf().pk, "lines": [{"position": 1, "packs": 1, **line}]}
    problem = office.post(f"purchase-orders/{order.pk}/receipts", body, 400)
    assert wrong(problem) == [(pointer, code)]
    assert not Move.objects.exists()


@pytest.mark.parametrize(
    ("values", "pointer", "code"),
    [
        ({"freight_amount": "-1"}, "/freight_amount", "min-value"),
        ({"duty_amount": "0.001"}, "/duty_amount", "too-fine"),
        ({"currency": "USD"}, "/currency", "other-currency"),
        ({"received_on": "2099-01-01"}, "/received_on", "to-come"),
        # The day before the one on which it was sent.
        ({"received_on": f"{TODAY - timedelta(days=1)}"}, "/received_on", "before-sent"),
        ({"place": 999}, "/place", "does-not-exist"),
    ],
)
def test_a_receipt_that_cannot_be_right_is_refused(office, values, pointer, code):
    order, _ = an_order({})
    assert wrong(receive(office, order, (1, 1), status=400, **values)) == [(pointer, code)]
    assert not Move.objects.exists()


def test_a_line_comes_once_in_a_receipt(office):
    order, _ = an_order({})
    problem = receive(office, order, (1, 1), (1, 1), status=400)
    assert wrong(problem) == [("/lines/1/position", "no-such-line")]


def test_nothing_comes_of_a_draft_nor_into_a_job_bag(office):
    order, _ = an_order({}, status="draft")
    assert code_of(receive(office, order, (1, 1), status=409)) == "order-not-awaited"
    order, _ = an_order({})
    bag = PlaceFactory(bag=True)
    problem = receive(office, order, (1, 1), status=409, place=bag.pk)
    assert wrong(problem) == [("/place", "not-shelf-or-van")]
    assert not Move.objects.exists()


def test_a_receipt_of_twenty_lines_takes_as_many_statements_as_one_of_one(office):
    def statements(count):
        order, *_ = an_order(*[{} for _ in range(count)])
        packs = [(position, 1) for position in range(1, count + 1)]
        with CaptureQueriesContext(connection) as captured:
            receive(office, order, *packs, freight_amount="7.77")
            send_back(office, order, *packs)
        return len(captured)

    assert statements(20) == statements(1)


def test_the_same_key_receives_once(office):
    order, pins = an_order({})
    body = {"place": main_shelf().pk, "lines": [{"position": 1, "packs": 2}]}
    path = f"purchase-orders/{order.pk}/receipts"
    answers = [office("POST", path, body, Idempotency_Key="note-71") for _ in range(2)]
    assert answers[0].json() == answers[1].json()
    assert level(pins.part) == 200


def test_lead_times_are_observed_from_sending_to_receipt(office):
    # By hand, days sorted 3, 5, 9, 20: median (5 + 9) / 2; quartiles by type 7 of Hyndman and Fan
    # stand at 1 + 3 x 0.25 and 1 + 3 x 0.75, so 3 + 0.75 x 2 and 9 + 0.25 x 11.
    order, line = an_order({"packs": 10})
    for days in (9, 3, 20, 5):
        ReceiptFactory(order=order, received_on=TODAY + timedelta(days=days), lines__packs=1)
    expected = {
        "receipt_count": 4,
        "lower_quartile_days": "4.5",
        "median_days": "7",
        "upper_quartile_days": "11.75",
    }
    assert office.get(f"suppliers/{order.supplier_id}")["observed_lead_time"] == expected
    body = {
        "supplier": order.supplier_id,
        "part": line.part.code,
        "pack_amount": "1",
        "pack_unit": "hundred",
        "price_breaks": [{"from_packs": 1, "price": "9.50"}],
    }
    offer = office.post("supplier-offers", body)
    assert offer["observed_lead_time"] == expected
    another = office.post("supplier-offers", {**body, "part": PartFactory().code})
    assert another["observed_lead_time"] == {**dict.fromkeys(expected), "receipt_count": 0}


def test_free_goods_bear_the_freight_alike(office):
    order, *_ = an_order({"packs": 1, "pack_price": 0}, {"packs": 1, "pack_price": 0})
    receipt = receive(office, order, (1, 1), (2, 1), freight_amount="0.05")
    assert [line["landed_amount"] for line in receipt["lines"]] == ["0.03", "0.02"]
