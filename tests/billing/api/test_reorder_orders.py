"""The reorder report turned into draft orders, one for each supplier."""

from decimal import Decimal

import pytest
from django.db import connection, transaction
from django.test.utils import CaptureQueriesContext

from shop.models import PurchaseOrder, PurchaseOrderLine
from tests.callers import Caller, caller_with
from tests.factories.billing import BagLineFactory
from tests.factories.purchasing import PriceBreakFactory, SupplierOfferFactory
from tests.factories.shop import PartFactory, SupplierFactory
from tests.together import at_once


@pytest.fixture
def office(db):
    return caller_with("office")


@pytest.fixture
def felt(db):
    return SupplierFactory(name="Felt")


@pytest.fixture
def wire(db):
    return SupplierFactory(name="Wire")


def lacking(quantity=150, **part):
    """A part that an approved quote is short of, and so is to be ordered."""
    made = PartFactory(pack_quantity=1, **part)
    BagLineFactory(part=made, quote__approved=True, wanted_quantity=quantity, taken_quantity=0)
    return made


def order_all(office, status=201, **values):
    answer = office.post("/reorder-report/orders", values)
    assert answer.status_code == status, answer.content
    return answer.json()


def suggested(office):
    """What the report suggests: supplier, part, packs and the price of one."""
    rows = office.get("/reorder-report?needed_only=true").json()["items"]
    return {
        (row["supplier"], row["part"], row["suggested_packs"], row["pack_price"]) for row in rows
    }


def ordered(office, made):
    """The same of the orders that were made."""
    orders = [office.get(f"/purchase-orders/{order['id']}").json() for order in made["orders"]]
    return {
        (order["supplier_name"], line["part"], line["packs"], line["pack_price"])
        for order in orders
        for line in order["lines"]
    }


def test_what_the_report_suggests_is_drafted_by_supplier(office, felt, wire):
    pins = lacking(code="pins", supplier=felt)
    SupplierOfferFactory(part=pins, supplier=felt)
    thousand = SupplierOfferFactory(
        part=pins, supplier=felt, pack_unit="thousand", contents_numerator=1000, price_breaks=[]
    )
    PriceBreakFactory(offer=thousand, price=18)
    # Nobody offers the strap, which comes in its own pack; the cord has no supplier of its own.
    lacking(code="strap", supplier=wire, cost=Decimal("0.20"))
    SupplierOfferFactory(part=lacking(code="cord"), supplier=wire)
    wanted = suggested(office)
    assert {(supplier, part) for supplier, part, *_ in wanted} == {
        ("Felt", "pins"),
        ("Wire", "strap"),
        ("Wire", "cord"),
    }

    made = order_all(office)

    assert made["left_out"] == []
    assert [(each["supplier_name"], each["line_count"]) for each in made["orders"]] == [
        ("Felt", 1),
        ("Wire", 2),
    ]
    assert ordered(office, made) == wanted


@pytest.mark.parametrize(("minimum", "is_below"), [(0, False), (1_000_000, True)])
def test_a_draft_says_whether_it_is_below_the_suppliers_minimum(office, minimum, is_below):
    lacking(supplier=SupplierFactory(minimum_order_value=minimum))
    [order] = order_all(office)["orders"]
    assert order["minimum_order_value"] == f"{minimum}.00"
    assert order["is_below_minimum"] == is_below


def test_what_was_sent_is_not_suggested_again(office, wire):
    lacking(code="strap", supplier=wire)
    [order] = order_all(office)["orders"]
    assert suggested(office)
    sent = office.post(f"/purchase-orders/{order['id']}/send")
    assert sent.status_code == 200, sent.content
    assert suggested(office) == set()
    assert order_all(office) == {"orders": [], "left_out": []}


def test_a_part_that_nobody_sells_is_left_out_and_said_so(office):
    lacking(code="cord")
    made = order_all(office)
    assert made["orders"] == []
    assert [(each["part"], each["code"]) for each in made["left_out"]] == [("cord", "no-supplier")]
    assert not PurchaseOrder.objects.exists()


def test_asking_twice_orders_once(office, felt):
    lacking(code="cord", supplier=felt)
    first = order_all(office)
    again = order_all(office)
    assert again["orders"] == []
    assert [(each["part"], each["code"]) for each in again["left_out"]] == [
        ("cord", "already-drafted")
    ]
    assert str(first["orders"][0]["id"]) in again["left_out"][0]["detail"]
    assert PurchaseOrderLine.objects.count() == 1


def test_the_same_key_orders_once_and_answers_alike(office, felt):
    lacking(supplier=felt)
    answers = [
        office.post("/reorder-report/orders", {}, Idempotency_Key="monday") for _ in range(2)
    ]
    assert answers[0].content == answers[1].content
    assert PurchaseOrder.objects.count() == 1


def test_only_those_suppliers_are_asked_that_are_named(office, felt, wire):
    lacking(supplier=felt)
    lacking(supplier=wire)
    made = order_all(office, suppliers=[wire.pk])
    assert [each["supplier_name"] for each in made["orders"]] == ["Wire"]
    problem = order_all(office, status=400, suppliers=[])
    assert [each["pointer"] for each in problem["errors"]] == ["/suppliers"]


def test_nothing_is_ordered_when_nothing_is_wanted(office, felt):
    PartFactory(supplier=felt)
    assert order_all(office) == {"orders": [], "left_out": []}


def test_technicians_order_nothing(db):
    answer = caller_with("technician").post("/reorder-report/orders")
    assert answer.status_code == 403


def test_twenty_parts_are_ordered_in_as_many_statements_as_one(office):
    def statements(count):
        for _ in range(count):
            SupplierOfferFactory(part=lacking(supplier=SupplierFactory()))
        with CaptureQueriesContext(connection) as captured:
            order_all(office)
        return len(captured)

    statements(1)  # prepares what is prepared once for each connection
    assert statements(10) == statements(1)


def test_two_who_order_at_once_order_each_part_once(committed_database):
    with transaction.atomic():
        supplier = SupplierFactory()
        for _ in range(3):
            lacking(supplier=supplier)
    user = caller_with("office").user
    callers = [Caller(user) for _ in range(4)]
    answers = at_once(4, lambda index: callers[index].post("/reorder-report/orders"))
    assert {answer.status_code for answer in answers} == {201}
    assert PurchaseOrderLine.objects.count() == 3
