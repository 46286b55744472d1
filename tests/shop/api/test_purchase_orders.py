"""Purchase orders over HTTP: drafted, changed, sent, closed, as JSON and as a sheet."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from shop.models import PurchaseOrder, PurchaseOrderLine
from tests.factories.purchasing import (
    OrderLineFactory,
    PurchaseOrderFactory,
    SupplierOfferFactory,
)
from tests.factories.shop import PartFactory, SupplierFactory
from tests.shop.api.conftest import code_of, wrong


@pytest.fixture
def supplier(db):
    return SupplierFactory(
        name="Felt and Wire Cooperative", lead_time_days=9, minimum_order_value=Decimal(50)
    )


@pytest.fixture
def pins(supplier):
    """Pins by the hundred at 9.50, from ten hundred on at 8.25."""
    offer = SupplierOfferFactory(supplier=supplier, part__code="pin-20", part__name="Centre pin 20")
    offer.price_breaks.create(from_packs=10, price=Decimal("8.25"))
    return offer


def lines(*entries):
    return [
        dict(zip(("part", "packs", "offer", "pack_price"), each, strict=False)) for each in entries
    ]


def draft(office, supplier, *entries, **values):
    return office.post(
        "purchase-orders", {"supplier": supplier.pk, "lines": lines(*entries), **values}
    )


def test_a_draft_has_the_suppliers_packs_numbers_and_prices(office, supplier, pins):
    order = draft(office, supplier, ("pin-20", 4), notes="Please pack dry.")
    assert (order["status"], order["number"], order["net_total"]) == ("draft", "", "38.00")
    assert (order["supplier_name"], order["currency"]) == ("Felt and Wire Cooperative", "EUR")
    [line] = order["lines"]
    assert line == {
        "position": 1,
        "part": "pin-20",
        "unit": "piece",
        "supplier_part_number": pins.supplier_part_number,
        "description": "Centre pin 20",
        "pack": "1 hundred",
        "units_per_pack": "100",
        "packs": 4,
        "received_packs": 0,
        "received_quantity": "0",
        "returned_packs": 0,
        "open_packs": 4,
        "over_packs": 0,
        "pack_price": "9.50",
        "net_amount": "38.00",
    }
    assert office.get(f"purchase-orders/{order['id']}") == order


def test_from_so_many_packs_on_the_lower_price_holds(office, supplier, pins):
    assert draft(office, supplier, ("pin-20", 9))["net_total"] == "85.50"
    assert draft(office, supplier, ("pin-20", 10))["net_total"] == "82.50"


def test_a_price_that_was_agreed_counts(office, supplier, pins):
    order = draft(office, supplier, ("pin-20", 10, None, "8.0005"))
    # By hand: 80.005, halves away from zero.
    assert (order["lines"][0]["pack_price"], order["net_total"]) == ("8.0005", "80.01")


def test_a_part_without_an_offer_comes_from_its_own_supplier_in_its_own_pack(office, supplier):
    PartFactory(
        code="cloth",
        bushing_cloth=True,
        supplier=supplier,
        supplier_part_number="BC-11",
        pack_quantity=7,
        cost=Decimal("0.80"),
    )
    [line] = draft(office, supplier, ("cloth", 2))["lines"]
    assert (line["pack"], line["units_per_pack"], line["supplier_part_number"]) == (
        "7 m",
        "7",
        "BC-11",
    )
    assert (line["pack_price"], line["net_amount"]) == ("5.60", "11.20")


def test_every_line_that_cannot_be_bought_is_named_and_nothing_is_drafted(office, supplier, pins):
    thousand = SupplierOfferFactory(
        supplier=supplier, part__code="pin-21", pack_unit="thousand", contents_numerator=1000
    )
    SupplierOfferFactory(supplier=supplier, part=thousand.part)
    SupplierOfferFactory(supplier=supplier, part__code="strap", price_breaks__from_packs=5)
    PartFactory(code="cord")
    other = SupplierOfferFactory(part__code="bolt")
    body = {
        "supplier": supplier.pk,
        "lines": lines(
            ("pin-21", 1), ("strap", 4), ("cord", 1), ("bolt", 1), ("pin-20", 1, other.pk)
        ),
    }
    problem = office.post("purchase-orders", body, 409)
    assert wrong(problem) == [
        ("/lines/0", "offer-ambiguous"),
        ("/lines/1", "too-few-packs"),
        ("/lines/2", "not-offered"),
        ("/lines/3", "not-offered"),
        ("/lines/4", "not-offered"),
    ]
    assert f"{thousand.pk} (1 thousand)" in problem["errors"][0]["detail"]
    assert not PurchaseOrder.objects.exists()
    made = draft(office, supplier, ("pin-21", 1, thousand.pk), ("strap", 5), ("pin-20", 1))
    assert [line["pack"] for line in made["lines"]] == ["1 thousand", "1 hundred", "1 hundred"]


@pytest.mark.parametrize(
    ("field", "value", "code"),
    [
        ("packs", 0, "min-value"),
        ("packs", -1, "min-value"),
        ("packs", 1.5, "invalid"),
        ("packs", 10**7, "max-value"),
        ("part", "no-such-part", "unknown-part"),
        ("pack_price", "-1", "min-value"),
        ("pack_price", "NaN", "invalid"),
        ("quantity", "1", "unknown-member"),
    ],
)
def test_a_line_that_cannot_be_right_is_refused(office, supplier, pins, field, value, code):
    body = {"supplier": supplier.pk, "lines": [{"part": "pin-20", "packs": 1, field: value}]}
    assert wrong(office.post("purchase-orders", body, 400)) == [(f"/lines/0/{field}", code)]
    assert not PurchaseOrder.objects.exists()


def test_amounts_in_another_currency_are_refused(office, supplier, pins):
    body = {"supplier": supplier.pk, "lines": lines(("pin-20", 1)), "currency": "USD"}
    assert wrong(office.post("purchase-orders", body, 400)) == [("/currency", "other-currency")]
    assert not PurchaseOrder.objects.exists()
    assert draft(office, supplier, ("pin-20", 1), currency="EUR")["currency"] == "EUR"


def test_a_draft_can_be_changed_and_thrown_away(office, supplier, pins):
    order = draft(office, supplier, ("pin-20", 4))
    path = f"purchase-orders/{order['id']}"
    changed = office.change(path, {"lines": lines(("pin-20", 5)), "notes": "Soon, please."})
    assert (changed["net_total"], changed["notes"]) == ("47.50", "Soon, please.")
    office.remove(path)
    assert not PurchaseOrderLine.objects.exists()


def test_an_order_that_is_sent_has_a_number_both_parties_and_a_day_and_stays(
    office, supplier, pins
):
    order = draft(office, supplier, ("pin-20", 10))
    path = f"purchase-orders/{order['id']}"
    sent = office.post(f"{path}/send", {}, 200)
    today = timezone.localdate()
    assert sent["status"] == "sent"
    assert sent["number"] == f"PO-{today.year}-00001"
    assert sent["sent_on"] == today.isoformat()
    # The supplier states nine days.
    assert sent["expected_on"] == (today + timedelta(days=9)).isoformat()
    assert sent["seller"]["name"] == "Felt and Wire Cooperative"
    assert sent["buyer"]["name"] == "The piano repair shop"
    assert code_of(office.post(f"{path}/send", {}, 409)) == "order-sent"
    assert code_of(office.change(path, {"notes": "More"}, 409)) == "order-sent"
    assert code_of(office.change(path, {"lines": lines(("pin-20", 1))}, 409)) == "order-sent"
    assert code_of(office.change(path, {"expected_on": None}, 409)) == "order-sent"
    assert code_of(office.remove(path, 409)) == "order-sent"
    later = office.change(path, {"expected_on": "2099-01-31"})
    assert later == {**sent, "expected_on": "2099-01-31"}
    second = draft(office, supplier, ("pin-20", 10))
    sent = office.post(f"purchase-orders/{second['id']}/send", {}, 200)
    assert sent["number"] == f"PO-{today.year}-00002"


def test_an_order_below_the_suppliers_minimum_is_sent_only_if_that_is_said(office, supplier, pins):
    order = draft(office, supplier, ("pin-20", 4))
    path = f"purchase-orders/{order['id']}/send"
    problem = office.post(path, {}, 409)
    assert code_of(problem) == "below-minimum-order"
    assert "38.00 EUR" in problem["detail"]
    assert "50.00 EUR" in problem["detail"]
    assert PurchaseOrder.objects.get().status == "draft"
    assert office.post(path, {"accept_below_minimum": True}, 200)["status"] == "sent"


def test_an_order_without_lines_is_not_sent(office):
    order = PurchaseOrderFactory(lines=[])
    problem = office.post(f"purchase-orders/{order.pk}/send", {}, 409)
    assert code_of(problem) == "order-empty"


def test_a_closed_order_says_why_and_what_never_came(office, supplier, pins):
    order = PurchaseOrderFactory(sent=True)
    path = f"purchase-orders/{order.pk}"
    closed = office.post(f"{path}/close", {"reason": "Sold out there"}, 200)
    assert (closed["status"], closed["closing_reason"]) == ("closed", "Sold out there")
    assert closed["closed_by"] == office.user.pk
    assert [line["open_packs"] for line in closed["lines"]] == [10]
    assert code_of(office.post(f"{path}/close", {}, 409)) == "order-not-awaited"
    draft = PurchaseOrderFactory()
    problem = office.post(f"purchase-orders/{draft.pk}/close", {}, 409)
    assert code_of(problem) == "order-not-awaited"


def test_orders_are_found_by_supplier_status_number_part_and_day(office):
    sent, other = PurchaseOrderFactory(sent=True), PurchaseOrderFactory()

    def found(query):
        return [order["id"] for order in office.get(f"purchase-orders?{query}")["items"]]

    assert found("") == [other.pk, sent.pk]
    assert found("status=sent") == [sent.pk]
    assert found(f"supplier={other.supplier_id}") == [other.pk]
    assert found(f"number={sent.number}") == [sent.pk]
    assert found(f"part={other.lines.get().part.code}") == [other.pk]
    assert found(f"expected_on_before={sent.expected_on}") == [sent.pk]
    assert found("expected_on_before=2000-01-01") == []


def test_the_sheet_of_an_order_has_a_line_for_each_and_no_formula(office, supplier):
    order = PurchaseOrderFactory(sent=True, lines__description='=HYPERLINK("x")')
    sheet = office("GET", f"purchase-orders/{order.pk}/sheet?format=csv")
    assert sheet["Content-Type"] == "text/csv; charset=utf-8"
    header, line = sheet.content.decode().splitlines()
    assert header == (
        "order_number,position,supplier_part_number,part,description,pack,packs,pack_price,"
        "net_amount,currency"
    )
    code = order.lines.get().part.code
    assert line == (f'{order.number},1,,{code},"\'=HYPERLINK(""x"")",1 hundred,10,9.50,95.00,EUR')
    [row] = office.get(f"purchase-orders/{order.pk}/sheet")["items"]
    assert (row["packs"], row["net_amount"]) == (10, "95.00")


def test_technicians_see_what_is_coming_but_not_what_it_costs(technician, office):
    order = PurchaseOrderFactory(sent=True)
    path = f"purchase-orders/{order.pk}"
    seen, whole = technician.get(path), office.get(path)
    assert set(whole) - set(seen) == {"currency", "net_total"}
    assert set(whole["lines"][0]) - set(seen["lines"][0]) == {"pack_price", "net_amount"}
    for verb in ("send", "close", "receipts", "returns"):
        assert code_of(technician.post(f"{path}/{verb}", {}, 403)) == "forbidden"
    assert code_of(technician.get(f"{path}/sheet", 403)) == "forbidden"


def test_twenty_lines_are_drafted_and_sent_in_as_many_statements_as_one(office, supplier):
    def statements(count):
        offers = [SupplierOfferFactory(supplier=supplier) for _ in range(count)]
        entries = [(offer.part.code, 10) for offer in offers]
        with CaptureQueriesContext(connection) as captured:
            order = draft(office, supplier, *entries)
            office.post(f"purchase-orders/{order['id']}/send", {}, 200)
        return len(captured)

    assert statements(20) == statements(1)


def test_the_same_key_drafts_one_order(office, supplier, pins):
    body = {"supplier": supplier.pk, "lines": lines(("pin-20", 4))}
    answers = [office("POST", "purchase-orders", body, Idempotency_Key="monday") for _ in range(2)]
    assert answers[0].json() == answers[1].json()
    assert PurchaseOrder.objects.count() == 1


def test_an_order_shows_every_line_in_its_order(office):
    order = PurchaseOrderFactory(lines=[])
    for _ in range(3):
        OrderLineFactory(order=order)
    shown = office.get(f"purchase-orders/{order.pk}")
    assert [line["position"] for line in shown["lines"]] == [1, 2, 3]
    assert shown["net_total"] == "285.00"
