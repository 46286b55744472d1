from decimal import Decimal

import factory

from shop import models
from tests.factories.shop import (
    MoveFactory,
    PartFactory,
    RowFactory,
    SupplierFactory,
    UserFactory,
    moved_on,
)
from tests.factories.world import NOW, TODAY, main_shelf, outside


def add_price_break(offer, create, extracted, **columns):
    if extracted is None:
        PriceBreakFactory(offer=offer, **columns)


def add_order_line(order, create, extracted, **columns):
    if extracted is None:
        OrderLineFactory(order=order, **columns)


def add_receipt_line(receipt, create, extracted, **columns):
    if extracted is None:
        ReceiptLineFactory(receipt=receipt, **columns)


def add_return_line(paper, create, extracted, **columns):
    if extracted is None:
        SupplierReturnLineFactory(supplierreturn=paper, **columns)


class SupplierOfferFactory(RowFactory):
    """A hundred pieces, at one price; `price_breaks=[]` leaves prices to whoever makes it."""

    class Meta:
        model = models.SupplierOffer

    supplier = factory.SubFactory(SupplierFactory)
    part = factory.SubFactory(PartFactory)
    supplier_part_number = factory.Sequence(lambda n: f"FW-{n}")
    pack_amount = 1
    pack_unit = "hundred"
    contents_numerator = 100
    contents_denominator = 1

    price_breaks = factory.PostGeneration(add_price_break)


class PriceBreakFactory(RowFactory):
    class Meta:
        model = models.PriceBreak

    offer = factory.SubFactory(SupplierOfferFactory, price_breaks=[])
    from_packs = 1
    price = Decimal("9.50")


class OrderSeriesFactory(RowFactory):
    """A series without a number yet, a year for each."""

    class Meta:
        model = models.OrderSeries

    code = "purchase order"
    year = factory.Sequence(lambda n: 1900 + n)


def next_in_series(code="purchase order", year=TODAY.year):
    """Take the next number and return the series that gave it out."""
    series, _ = models.OrderSeries.objects.get_or_create(code=code, year=year)
    series.last_number += 1
    series.save()
    return series


def sent():
    """The columns that make a draft an order that was sent, with the next number of the year."""
    series = next_in_series()
    return {
        "status": models.OrderStatus.SENT,
        "series": series,
        "sequence": series.last_number,
        "number": f"PO-{series.year}-{series.last_number:05d}",
        "sent_at": NOW,
        "sent_on": TODAY,
        "sent_by": UserFactory(),
        "expected_on": TODAY,
        "seller": {"name": "Felt and Wire Cooperative"},
        "buyer": {"name": "The piano repair shop"},
    }


def closed():
    return {"status": models.OrderStatus.CLOSED, "closed_at": NOW, "closed_by": UserFactory()}


class PurchaseOrderFactory(RowFactory):
    """A draft, or an order that was sent or closed, with one line unless `lines=[]`."""

    class Meta:
        model = models.PurchaseOrder

    class Params:
        closed = factory.Trait(then=moved_on(sent, closed))
        sent = factory.Trait(then=moved_on(sent))

    supplier = factory.SubFactory(SupplierFactory)
    currency = "EUR"
    minor_units = 2
    drafted_at = NOW
    drafted_by = factory.SubFactory(UserFactory)

    lines = factory.PostGeneration(add_order_line)


class OrderLineFactory(RowFactory):
    """Ten packs of a hundred at 9.50."""

    class Meta:
        model = models.PurchaseOrderLine

    order = factory.SubFactory(PurchaseOrderFactory, lines=[])
    position = factory.LazyAttribute(lambda line: line.order.lines.count() + 1)
    part = factory.SubFactory(PartFactory)
    description = "Centre pin 20"
    pack_text = "1 hundred"
    packs = 10
    pack_price = Decimal("9.50")
    net_amount = factory.LazyAttribute(lambda line: round(line.packs * line.pack_price, 2))
    contents_numerator = 100
    contents_denominator = 1


class ReceiptFactory(RowFactory):
    """Two packs of the one line of an order that was sent, unless `lines=[]`."""

    class Meta:
        model = models.Receipt

    order = factory.SubFactory(PurchaseOrderFactory, sent=True)
    place = factory.LazyFunction(main_shelf)
    received_on = TODAY
    received_at = NOW
    received_by = factory.SubFactory(UserFactory)

    lines = factory.PostGeneration(add_receipt_line)


class ReceiptLineFactory(RowFactory):
    class Meta:
        model = models.ReceiptLine

    receipt = factory.SubFactory(ReceiptFactory, lines=[])
    order_line = factory.LazyAttribute(lambda line: line.receipt.order.lines.get())
    packs = 2
    stated_quantity = factory.LazyAttribute(lambda line: line.packs * 100)
    quantity = factory.SelfAttribute("stated_quantity")
    pack_price = Decimal("9.50")
    goods_amount = factory.LazyAttribute(lambda line: line.packs * line.pack_price)
    landed_amount = 0
    move = factory.LazyAttribute(
        lambda line: MoveFactory(
            part=line.order_line.part,
            to_place=line.receipt.place,
            quantity=line.quantity,
            value=line.goods_amount + line.landed_amount,
        )
    )


class SupplierReturnFactory(RowFactory):
    """One pack of the one line of a receipt's order, unless `lines=[]`."""

    class Meta:
        model = models.SupplierReturn

    order = factory.LazyFunction(lambda: ReceiptFactory().order)
    place = factory.LazyFunction(main_shelf)
    reason = "Wrong size"
    is_replaced = False
    returned_at = NOW
    returned_by = factory.SubFactory(UserFactory)

    lines = factory.PostGeneration(add_return_line)


class SupplierReturnLineFactory(RowFactory):
    class Meta:
        model = models.SupplierReturnLine

    supplierreturn = factory.SubFactory(SupplierReturnFactory, lines=[])
    order_line = factory.LazyAttribute(lambda line: line.supplierreturn.order.lines.get())
    packs = 1
    quantity = factory.LazyAttribute(lambda line: line.packs * 100)
    move = factory.LazyAttribute(
        lambda line: MoveFactory(
            part=line.order_line.part,
            from_place=line.supplierreturn.place,
            to_place=outside(models.PlaceKind.SUPPLIER),
            quantity=line.quantity,
            value=line.packs * Decimal("9.50"),
            reason=models.MoveReason.RETURNED,
        )
    )
