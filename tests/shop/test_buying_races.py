"""Many who buy at once: nothing comes twice, and nobody waits for ever."""

from decimal import Decimal

from django.db import transaction

from shop.actions.receipts import Delivery, PacksCounted, order_receive
from shop.actions.supplier_returns import Return, order_return
from shop.models import Level, OrderSeries, PurchaseOrder, Receipt, Role
from tests.callers import Caller, caller_with
from tests.factories.purchasing import (
    OrderLineFactory,
    PurchaseOrderFactory,
    ReceiptFactory,
    sent,
)
from tests.factories.shop import PartFactory
from tests.factories.world import NOW, TODAY, main_shelf, stock
from tests.refusals import accepted, kept_waiting, refused
from tests.shop.stock_machine import stored_holdings, stored_levels, sums_of_moves
from tests.together import at_once

MANY = 6


def callers():
    user = caller_with(Role.OFFICE).user
    return [Caller(user) for _ in range(MANY)]


def an_order(parts, packs=2):
    """An order of packs of a hundred of each part, that was sent."""
    order = PurchaseOrderFactory(lines=[])
    for part in parts:
        OrderLineFactory(order=order, part=part, packs=packs)
    PurchaseOrder.objects.filter(pk=order.pk).update(**sent())
    return order


def all_of(order, **values):
    lines = [{"position": line.position, "packs": line.packs} for line in order.lines.all()]
    return {"place": main_shelf().pk, "lines": lines, **values}


def codes(answers):
    return sorted(
        answer.json()["type"].rpartition("/")[2] for answer in answers if answer.status_code != 201
    )


def test_many_who_receive_the_same_order_put_it_away_once(committed_database):
    with transaction.atomic():
        part = PartFactory()
        order = an_order([part])
    everyone, body = callers(), all_of(order)
    path = f"/purchase-orders/{order.pk}/receipts"
    answers = at_once(MANY, lambda index: everyone[index].post(path, body))
    assert codes(answers) == ["order-not-awaited"] * (MANY - 1)
    assert Receipt.objects.count() == 1
    assert Level.objects.get(part=part, place=main_shelf()).quantity == 200


def test_whoever_receives_or_sends_back_waits_for_who_is_at_the_order(committed_database):
    with transaction.atomic():
        order = an_order([PartFactory()])
    # Of a line that there is not, which nobody is told before the order is locked.
    lines, place, user = [PacksCounted(99, 1)], main_shelf(), order.drafted_by
    paper = {"order": order, "lines": lines}
    with transaction.atomic(using="owner"):
        PurchaseOrder.objects.using("owner").select_for_update(no_key=True).get(pk=order.pk)
        with kept_waiting("default"):
            delivery = Delivery(place, TODAY)
            order_receive(**paper, delivery=delivery, received_at=NOW, received_by=user)
        with kept_waiting("default"):
            terms = Return(place, "Moth", is_replaced=False)
            order_return(**paper, terms=terms, returned_at=NOW, returned_by=user)


def test_many_who_send_the_same_request_receive_once(committed_database):
    with transaction.atomic():
        part = PartFactory()
        order = an_order([part])
    everyone, body = callers(), all_of(order, accept_more_than_ordered=True)
    path = f"/purchase-orders/{order.pk}/receipts"
    answers = at_once(
        MANY, lambda index: everyone[index].post(path, body, Idempotency_Key="delivery-71")
    )
    # Whoever comes while the first is at work is told so (409) and may ask again.
    assert {answer.status_code for answer in answers} <= {201, 409}
    again = everyone[0].post(path, body, Idempotency_Key="delivery-71")
    assert again.status_code == 201
    assert Receipt.objects.count() == 1
    assert Level.objects.get(part=part, place=main_shelf()).quantity == 200


def test_many_who_send_back_the_same_packs_send_them_back_once(committed_database):
    with transaction.atomic():
        part = PartFactory()
        order = an_order([part])
        stock(part, 5000, Decimal("0.10"))
    everyone = callers()
    assert (
        everyone[0].post(f"/purchase-orders/{order.pk}/receipts", all_of(order)).status_code == 201
    )
    path, body = f"/purchase-orders/{order.pk}/returns", all_of(order, reason="Moth")
    answers = at_once(MANY, lambda index: everyone[index].post(path, body))
    assert codes(answers) == ["more-than-received"] * (MANY - 1)
    assert Level.objects.get(part=part, place=main_shelf()).quantity == 5000


def test_orders_that_are_sent_at_once_take_a_number_each_without_a_gap(committed_database):
    with transaction.atomic():
        orders = [PurchaseOrderFactory() for _ in range(MANY)]
    everyone = callers()

    def send(index):
        return everyone[index].post(f"/purchase-orders/{orders[index].pk}/send")

    assert {answer.status_code for answer in at_once(MANY, send)} == {200}
    taken = PurchaseOrder.objects.order_by("sequence").values_list("sequence", flat=True)
    assert list(taken) == list(range(1, MANY + 1))
    assert OrderSeries.objects.get().last_number == MANY


def test_orders_of_the_same_parts_in_any_order_never_lock_each_other_out(committed_database):
    with transaction.atomic():
        parts = [PartFactory() for _ in range(8)]
        orders = [an_order(parts if index % 2 else parts[::-1]) for index in range(MANY)]
        bodies = [all_of(order, freight_amount="7.77") for order in orders]
    everyone = callers()

    def receive(index):
        path = f"/purchase-orders/{orders[index].pk}/receipts"
        return everyone[index].post(path, bodies[index])

    assert {answer.status_code for answer in at_once(MANY, receive)} == {201}
    assert (stored_levels(), stored_holdings()) == sums_of_moves()
    quantities = Level.objects.filter(place=main_shelf()).values_list("quantity", flat=True)
    assert set(quantities) == {200 * MANY}


def test_no_receipt_slips_in_beside_another_of_the_same_packs(committed_database):
    with transaction.atomic():
        part = PartFactory()
        order = an_order([part])

    with transaction.atomic():
        ReceiptFactory(order=order, lines__packs=2)
        late = Receipt(
            order=order,
            place=main_shelf(),
            received_on=TODAY,
            received_at=NOW,
            received_by=order.drafted_by,
        )
        with kept_waiting("owner"):
            late.save(using="owner")
    with refused("shop_receiptline_within_order"):
        ReceiptFactory(order=order, lines__packs=1)
    with accepted():
        ReceiptFactory(order=order, lines__packs=1, lines__is_over_accepted=True)


def test_no_line_slips_in_while_an_order_is_sent(committed_database):
    with transaction.atomic():
        order = PurchaseOrderFactory()
        late = OrderLineFactory.build(order=order, part=PartFactory(), position=2)
    with transaction.atomic():
        PurchaseOrder.objects.filter(pk=order.pk).update(**sent())
        with kept_waiting("owner"):
            late.save(using="owner")
    with refused("shop_purchaseorderline_sent_stays", using="owner"):
        late.save(using="owner")
