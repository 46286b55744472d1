from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import connection

from shop.models import PurchaseOrder
from tests.factories.purchasing import (
    OrderLineFactory,
    PurchaseOrderFactory,
    ReceiptFactory,
    ReceiptLineFactory,
    SupplierReturnFactory,
    SupplierReturnLineFactory,
    closed,
    sent,
)
from tests.factories.shop import MoveFactory, PlaceFactory
from tests.factories.world import TODAY, main_shelf, stock
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db


def sql(statement):
    with connection.cursor() as cursor:
        cursor.execute(statement)


@pytest.mark.parametrize("name", ["freight_amount", "duty_amount", "other_amount"])
def test_what_it_costs_to_get_goods_here_is_not_negative(name):
    with refused("shop_receipt_amounts_sensible"):
        ReceiptFactory(**{name: Decimal("-0.01")}, lines__landed_amount=0)
    with accepted():
        ReceiptFactory(**{name: Decimal("4.20")}, lines__landed_amount=Decimal("4.20"))


def test_goods_are_received_of_an_order_that_was_sent_and_is_not_closed():
    for order in (PurchaseOrderFactory(), PurchaseOrderFactory(closed=True)):
        with refused("shop_receipt_order_awaited"):
            ReceiptFactory(order=order)
    order = PurchaseOrderFactory(sent=True)
    with refused("shop_receipt_order_awaited"):
        ReceiptFactory(order=order, received_on=TODAY - timedelta(days=1))
    with accepted():
        ReceiptFactory(order=order)
        PurchaseOrder.objects.filter(pk=order.pk).update(status="part_received")
        ReceiptFactory(order=order)


def test_the_lines_bear_all_that_it_cost_to_get_the_goods_here():
    with refused("shop_receipt_costs_spread"):
        ReceiptFactory(freight_amount=5, lines__landed_amount=Decimal("4.99"))
    with refused("shop_receipt_costs_spread"):
        ReceiptFactory(lines=[])
    with accepted():
        ReceiptFactory(freight_amount=3, duty_amount=1, other_amount=1, lines__landed_amount=5)


def test_a_receipt_and_its_lines_are_never_changed_or_removed():
    ReceiptFactory()
    for statement in ("UPDATE shop_receipt SET delivery_note = 'x'", "DELETE FROM shop_receipt"):
        with refused("shop_receipt_append_only"):
            sql(statement)
    for statement in ("UPDATE shop_receiptline SET packs = 1", "DELETE FROM shop_receiptline"):
        with refused("shop_receiptline_append_only"):
            sql(statement)
    with accepted():
        ReceiptFactory()


@pytest.mark.parametrize(
    ("rule", "wrong", "right"),
    [
        (
            "shop_receiptline_moves_something",
            {"packs": 0, "stated_quantity": 1},
            {"packs": 1},
        ),
        (
            "shop_receiptline_amounts_sensible",
            {"stated_quantity": -1, "quantity": 5},
            {"stated_quantity": 0, "quantity": 5},
        ),
        (
            "shop_receiptline_amounts_sensible",
            {"pack_price": -1, "goods_amount": 5},
            {"pack_price": 0, "goods_amount": 5},
        ),
    ],
)
def test_a_line_receives_something_at_no_negative_price(rule, wrong, right):
    with refused(rule):
        ReceiptFactory(**{f"lines__{name}": value for name, value in wrong.items()})
    with accepted():
        ReceiptFactory(**{f"lines__{name}": value for name, value in right.items()})


def test_a_receipt_has_each_line_of_the_order_once():
    receipt = ReceiptFactory()
    with refused("shop_receiptline_once"):
        ReceiptLineFactory(receipt=receipt)
    with accepted():
        ReceiptFactory(order=receipt.order)


def test_more_than_was_ordered_is_received_only_if_that_is_said():
    order = PurchaseOrderFactory(sent=True)  # of ten packs
    with refused("shop_receiptline_within_order"):
        ReceiptFactory(order=order, lines__packs=11)
    with accepted():
        ReceiptFactory(order=order, lines__packs=8)
        ReceiptFactory(order=order, lines__packs=2)
    with refused("shop_receiptline_within_order"):
        ReceiptFactory(order=order, lines__packs=1)
    with accepted():
        ReceiptFactory(order=order, lines__packs=1, lines__is_over_accepted=True)


@pytest.mark.parametrize(("is_replaced", "fits"), [(True, 3), (False, 0)])
def test_what_went_back_is_received_again_only_if_it_is_to_be_replaced(is_replaced, fits):
    order = PurchaseOrderFactory(sent=True)
    ReceiptFactory(order=order, lines__packs=10)
    SupplierReturnFactory(order=order, is_replaced=is_replaced, lines__packs=3)
    with refused("shop_receiptline_within_order"):
        ReceiptFactory(order=order, lines__packs=fits + 1)
    if fits:
        with accepted():
            ReceiptFactory(order=order, lines__packs=fits)


def other_move(line, **change):
    """The move that a line of a receipt should have made, but for `change`."""
    return MoveFactory(
        **{
            "part": line.part,
            "quantity": 200,
            "value": 19,
            "to_place": main_shelf(),
            **change,
        }
    )


@pytest.mark.parametrize(
    "change",
    [
        {"quantity": 199},
        {"value": 18},
        {"reason": "counted"},
        {"to_place": PlaceFactory},
        {"part": lambda: MoveFactory().part},
    ],
    ids=lambda change: next(iter(change)),
)
def test_a_line_of_a_receipt_is_tied_to_the_move_that_it_made(change):
    order = PurchaseOrderFactory(sent=True)
    line = order.lines.get()
    made = {name: value() if callable(value) else value for name, value in change.items()}
    with refused("shop_receiptline_tied"):
        ReceiptFactory(order=order, lines__move=other_move(line, **made))
    with accepted():
        ReceiptFactory(order=order, lines__move=other_move(line))


def test_a_line_of_a_receipt_is_of_its_order():
    order, other = PurchaseOrderFactory(sent=True), PurchaseOrderFactory(sent=True)
    with refused("shop_receiptline_tied"):
        ReceiptFactory(order=order, lines__order_line=other.lines.get())
    with accepted():
        ReceiptFactory(order=order, lines__order_line=order.lines.get())


def test_a_move_is_made_by_one_line():
    receipt = ReceiptFactory()
    move = receipt.lines.get().move
    with refused("shop_receiptline_move_id_key"):
        ReceiptFactory(order=receipt.order, lines__move=move)
    returned = SupplierReturnFactory(order=receipt.order)
    with refused("shop_supplierreturnline_move_id_key"):
        SupplierReturnFactory(order=receipt.order, lines__move=returned.lines.get().move)
    with accepted():
        ReceiptFactory(order=receipt.order)


def test_a_return_says_why():
    with refused("shop_supplierreturn_has_reason"):
        SupplierReturnFactory(reason="")
    with accepted():
        SupplierReturnFactory(reason="Moth")


def test_a_return_and_its_lines_are_never_changed_or_removed():
    SupplierReturnFactory()
    for statement in (
        "UPDATE shop_supplierreturn SET is_replaced = true",
        "DELETE FROM shop_supplierreturn",
    ):
        with refused("shop_supplierreturn_append_only"):
            sql(statement)
    for statement in (
        "UPDATE shop_supplierreturnline SET packs = 2",
        "DELETE FROM shop_supplierreturnline",
    ):
        with refused("shop_supplierreturnline_append_only"):
            sql(statement)
    with accepted():
        SupplierReturnFactory()


def test_a_line_returns_something_and_once_in_a_return():
    paper = SupplierReturnFactory()
    with refused("shop_supplierreturnline_moves_something"):
        SupplierReturnFactory(order=paper.order, lines__packs=0, lines__quantity=1)
    with refused("shop_supplierreturnline_once"):
        SupplierReturnLineFactory(supplierreturn=paper)
    with accepted():
        SupplierReturnFactory(order=paper.order)


def test_no_more_goes_back_than_came():
    order = ReceiptFactory(lines__packs=2).order
    stock(order.lines.get().part, 500, 1)
    with refused("shop_supplierreturnline_within_receipts"):
        SupplierReturnFactory(order=order, lines__packs=3)
    with accepted():
        SupplierReturnFactory(order=order, lines__packs=1)
        SupplierReturnFactory(order=order, lines__packs=1)
    with refused("shop_supplierreturnline_within_receipts"):
        SupplierReturnFactory(order=order, lines__packs=1)


def test_a_line_of_a_return_is_tied_to_the_move_that_it_made():
    order = ReceiptFactory().order
    line = order.lines.get()
    back = {"part": line.part, "from_place": main_shelf(), "quantity": 100, "value": 9}
    outside = MoveFactory().from_place
    with refused("shop_supplierreturnline_tied"):
        move = MoveFactory(**back, to_place=outside, reason="scrapped")
        SupplierReturnFactory(order=order, lines__move=move)
    other = ReceiptFactory().order
    with refused("shop_supplierreturnline_tied"):
        SupplierReturnFactory(order=order, lines__order_line=other.lines.get())
    with accepted():
        move = MoveFactory(**back, to_place=outside, reason="returned")
        SupplierReturnFactory(order=order, lines__move=move)


def test_lines_that_were_closed_over_keep_what_came():
    order = PurchaseOrderFactory(lines=[])
    OrderLineFactory(order=order)
    PurchaseOrder.objects.filter(pk=order.pk).update(**sent())
    ReceiptFactory(order=order)
    with accepted():
        PurchaseOrder.objects.filter(pk=order.pk).update(**closed())
    with refused("shop_receipt_order_awaited"):
        ReceiptFactory(order=order)
