from decimal import Decimal

import pgtrigger
import pytest

from shop.models import PurchaseOrder, PurchaseOrderLine
from tests.factories.purchasing import (
    OrderLineFactory,
    OrderSeriesFactory,
    PurchaseOrderFactory,
    ReceiptFactory,
    closed,
    sent,
)
from tests.factories.shop import SupplierFactory, UserFactory
from tests.factories.world import NOW, TODAY
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db


def same(order):
    return PurchaseOrder.objects.filter(pk=order.pk)


def part_received():
    return ReceiptFactory().order


def receive(order):
    ReceiptFactory(order=order)
    same(order).update(status="part_received")


@pytest.mark.parametrize(
    ("change", "rule"),
    [
        ({"status": "lost"}, "shop_purchaseorder_status_edge"),
        ({"status": "draft"}, "shop_purchaseorder_status_edge"),
    ],
)
def test_an_order_moves_along_its_edges(change, rule):
    order = PurchaseOrderFactory(sent=True)
    with refused(rule):
        same(order).update(**change)
    with accepted():
        same(order).update(**closed())


def test_a_draft_is_sent_before_it_is_closed():
    order = PurchaseOrderFactory()
    with refused("shop_purchaseorder_status_edge"):
        same(order).update(**{**sent(), **closed()})
    with accepted():
        same(order).update(**sent())


def test_an_order_starts_as_a_draft():
    with refused("shop_purchaseorder_status_first"):
        PurchaseOrderFactory(status="sent")
    with accepted():
        PurchaseOrderFactory()


def test_a_status_that_there_is_not_is_refused_by_the_table_itself():
    order = PurchaseOrderFactory(sent=True)
    with (
        pgtrigger.ignore("shop.PurchaseOrder:shop_purchaseorder_status_edge"),
        refused("shop_purchaseorder_status_known"),
    ):
        same(order).update(status="lost")


@pytest.mark.parametrize(
    ("wrong", "right"),
    [
        ({"currency": "eur"}, {"currency": "GBP"}),
        ({"minor_units": 4}, {"minor_units": 3}),
    ],
)
def test_an_order_is_in_a_currency(wrong, right):
    with refused("shop_purchaseorder_currency_code"):
        PurchaseOrderFactory(**wrong)
    with accepted():
        PurchaseOrderFactory(**right)


@pytest.mark.parametrize(
    "column",
    ["sequence", "series", "sent_at", "sent_on", "sent_by", "expected_on", "seller", "buyer"],
)
def test_an_order_that_was_sent_says_when_by_whom_and_between_whom(column):
    order = PurchaseOrderFactory()
    with (
        pgtrigger.ignore("shop.PurchaseOrder:shop_purchaseorder_next_number"),
        refused("shop_purchaseorder_sent_complete"),
    ):
        same(order).update(**{**sent(), column: None})
    with accepted():
        same(order).update(**sent())


def test_a_draft_has_no_number():
    with refused("shop_purchaseorder_sent_complete"):
        PurchaseOrderFactory(number="PO-1")
    with refused("shop_purchaseorder_sent_complete"):
        same(PurchaseOrderFactory()).update(**{**sent(), "number": ""})
    with accepted():
        PurchaseOrderFactory(expected_on=TODAY)


def test_a_closed_order_and_no_other_says_who_closed_it():
    order = PurchaseOrderFactory(sent=True)
    for change in (
        {"status": "closed"},
        {"status": "closed", "closed_at": NOW},
        {"closed_at": NOW},
        {"closing_reason": "Sold out"},
        {"closed_by": UserFactory()},
    ):
        with refused("shop_purchaseorder_closed_complete"):
            same(order).update(**change)
    with accepted():
        same(order).update(**closed(), closing_reason="Sold out")


def test_two_orders_do_not_bear_one_number():
    order = PurchaseOrderFactory(sent=True)
    with refused("shop_purchaseorder_number_once"):
        columns = ["series", "sequence", "number", "sent_at", "sent_on", "sent_by", "seller"]
        columns = {name: getattr(order, name) for name in [*columns, "buyer", "expected_on"]}
        same(PurchaseOrderFactory()).update(**columns, status="sent")
    with accepted():
        PurchaseOrderFactory(sent=True)


@pytest.mark.parametrize(
    "change",
    [
        {"notes": "More, please"},
        {"currency": "GBP"},
        {"minor_units": 3},
        {"drafted_at": NOW.replace(year=2025)},
        {"sequence": 7},
        {"number": "PO-7"},
        {"sent_at": NOW.replace(year=2025)},
        {"sent_on": TODAY.replace(year=2025)},
        {"seller": {"name": "Somebody else"}},
        {"buyer": {"name": "Somebody else"}},
    ],
    ids=lambda change: next(iter(change)),
)
def test_what_was_sent_stays_as_it_was(change):
    order, draft = PurchaseOrderFactory(sent=True), PurchaseOrderFactory()
    with refused("shop_purchaseorder_sent_stays"):
        same(order).update(**change)
    with accepted():
        same(order).update(expected_on=TODAY.replace(year=2027))
        same(draft).update(notes="More, please")


def test_who_an_order_was_sent_to_and_by_whom_stays():
    order = PurchaseOrderFactory(sent=True)
    for change in (
        {"supplier": SupplierFactory()},
        {"drafted_by": UserFactory()},
        {"sent_by": UserFactory()},
        {"series": OrderSeriesFactory()},
    ):
        with refused("shop_purchaseorder_sent_stays"):
            same(order).update(**change)
    with accepted():
        same(order).update(**closed())


def test_an_order_that_was_sent_is_not_removed():
    order, draft = PurchaseOrderFactory(sent=True, lines=None), PurchaseOrderFactory()
    with refused("shop_purchaseorder_sent_stays"):
        same(order)._raw_delete(using="default")
    with accepted():
        draft.delete()


def test_an_order_takes_the_number_that_its_series_gave_out_last():
    order = PurchaseOrderFactory()
    columns = sent()
    with refused("shop_purchaseorder_next_number"):
        same(order).update(**{**columns, "sequence": columns["sequence"] + 1})
    with accepted():
        same(order).update(**columns)


def test_an_order_is_not_sent_without_lines():
    order = PurchaseOrderFactory(lines=[])
    with refused("shop_purchaseorder_sent_with_lines"):
        same(order).update(**sent())
    with accepted():
        OrderLineFactory(order=order)
        same(order).update(**sent())


def test_an_order_is_part_received_once_something_came():
    order = PurchaseOrderFactory(sent=True)
    with refused("shop_purchaseorder_received_by_receipt"):
        same(order).update(status="part_received")
    with accepted():
        receive(order)


def test_a_closed_order_is_opened_again_as_part_received_alone():
    order = PurchaseOrderFactory(sent=True)
    receive(order)
    same(order).update(**closed())
    opened = {"closed_at": None, "closed_by": None}
    with refused("shop_purchaseorder_status_edge"):
        same(order).update(status="sent", **opened)
    with accepted():
        same(order).update(status="part_received", **opened)


@pytest.mark.parametrize(
    ("rule", "wrong", "right"),
    [
        (
            "shop_purchaseorderline_pack_holds_something",
            {"contents_numerator": 0},
            {"contents_numerator": 1},
        ),
        ("shop_purchaseorderline_amounts_sensible", {"packs": 0}, {"packs": 1}),
        (
            "shop_purchaseorderline_amounts_sensible",
            {"pack_price": -1, "net_amount": -10},
            {"pack_price": 0},
        ),
        ("shop_purchaseorderline_amount_ties", {"net_amount": 94}, {"net_amount": 95}),
        # 10 packs at 0.0005 are 0.005, which is a coin.
        (
            "shop_purchaseorderline_amount_ties",
            {"pack_price": Decimal("0.0005"), "net_amount": 0},
            {"pack_price": Decimal("0.0005"), "net_amount": Decimal("0.01")},
        ),
    ],
)
def test_a_line_orders_something_for_what_it_comes_to(rule, wrong, right):
    with refused(rule):
        OrderLineFactory(**wrong)
    with accepted():
        OrderLineFactory(**right)


def test_a_line_stands_at_a_position_of_its_own_and_a_pack_on_one_line():
    line = OrderLineFactory()
    with refused("shop_purchaseorderline_position_once"):
        OrderLineFactory(order=line.order, position=1)
    with refused("shop_purchaseorderline_pack_once"):
        OrderLineFactory(order=line.order, part=line.part)
    with accepted():
        OrderLineFactory(order=line.order)
        OrderLineFactory(order=line.order, part=line.part, contents_numerator=1000)


def test_the_lines_of_what_was_sent_stay():
    order, draft = PurchaseOrderFactory(sent=True), PurchaseOrderFactory()
    lines = PurchaseOrderLine.objects.filter(order=order)
    with refused("shop_purchaseorderline_sent_stays"):
        OrderLineFactory(order=order)
    with refused("shop_purchaseorderline_sent_stays"):
        lines.update(packs=11, net_amount=Decimal("104.50"))
    with refused("shop_purchaseorderline_sent_stays"):
        lines.delete()
    with refused("shop_purchaseorderline_sent_stays"):
        PurchaseOrderLine.objects.filter(order=draft).update(order=order, position=2)
    with accepted():
        OrderLineFactory(order=draft)
        PurchaseOrderLine.objects.filter(order=draft, position=1).delete()
