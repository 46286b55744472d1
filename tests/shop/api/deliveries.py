"""Orders that were sent, and the papers that are posted of them."""

from shop.models import Level, PurchaseOrder
from tests.factories.purchasing import OrderLineFactory, PurchaseOrderFactory, sent
from tests.factories.world import main_shelf


def an_order(*lines, status="sent"):
    """An order with these lines, sent unless told otherwise."""
    order = PurchaseOrderFactory(lines=[])
    made = [OrderLineFactory(order=order, **line) for line in lines]
    if status == "sent":
        PurchaseOrder.objects.filter(pk=order.pk).update(**sent())
    return order, *made


def receive(office, order, *packs, status=201, **values):
    lines = [
        dict(zip(("position", "packs", "counted_quantity"), each, strict=False)) for each in packs
    ]
    body = {"place": main_shelf().pk, "lines": lines, **values}
    return office.post(f"purchase-orders/{order.pk}/receipts", body, status)


def send_back(office, order, *packs, status=201, **values):
    lines = [
        dict(zip(("position", "packs", "counted_quantity"), each, strict=False)) for each in packs
    ]
    body = {"place": main_shelf().pk, "reason": "Wrong size", "lines": lines, **values}
    return office.post(f"purchase-orders/{order.pk}/returns", body, status)


def level(part):
    return Level.objects.get(part=part, place=main_shelf()).quantity
