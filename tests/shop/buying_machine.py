"""Orders, what comes of them and what goes back, at random, beside the stock papers."""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import floor

from hypothesis import strategies as st
from hypothesis.stateful import invariant, precondition, rule

from shop.actions.order_lines import OrderLineDraft
from shop.actions.orders import Drafted, order_close, order_draft, order_send
from shop.actions.receipts import Delivery, PacksCounted, order_receive
from shop.actions.supplier_returns import Return, order_return
from shop.models import PlaceKind, PurchaseOrder
from tests.factories.world import NOW, TODAY
from tests.shop.counting_machine import CountingMachine
from tests.shop.stock_machine import side, which

# A pack of the first line of an order holds two pieces and a half, of the second three.
PACKS_OF = [Fraction(5, 2), Fraction(3)]
some_packs = st.integers(0, 4)
cents = st.integers(0, 900)


@dataclass
class Line:
    part: object
    contents: Fraction
    packs: int
    price_cents: int
    received: int = 0
    returned: int = 0
    replaced: int = 0

    @property
    def open(self):
        return max(self.packs - self.received + self.replaced, 0)

    def pieces(self, before, packs):
        """Whole pieces in packs after so many of the same: what was left over before counts in."""
        return floor((before + packs) * self.contents) - floor(before * self.contents)


@dataclass
class Order:
    row: PurchaseOrder
    lines: list
    status: str = "sent"

    def settle(self):
        self.status = "part_received" if any(line.open for line in self.lines) else "closed"


def spread(amount, weights):
    """Cents by weights: whole ones first, and those left to the greatest remainders."""
    weights = weights if any(weights) else [1] * len(weights)
    exact = [Fraction(amount * weight, sum(weights)) for weight in weights]
    given = [floor(share) for share in exact]
    greatest = sorted(range(len(exact)), key=lambda index: (given[index] - exact[index], index))
    for index in greatest[: amount - sum(given)]:
        given[index] += 1
    return given


class BuyingMachine(CountingMachine):
    """Each rule does the same to the program and to the model, refusals included."""

    def __init__(self):
        super().__init__()
        self.orders = []

    def drawn(self, data):
        return data.draw(st.sampled_from(self.orders))

    @property
    def suppliers(self):
        return self.shop.outside[PlaceKind.SUPPLIER]

    @rule(which=which, packs=st.integers(1, 4), more=st.integers(1, 3), price=cents)
    def order(self, which, packs, more, price):
        parts = [self.shop.parts[which], self.shop.parts[(which + 1) % 3]]
        lines = [
            Line(part, contents, count, price + index)
            for index, (part, contents, count) in enumerate(
                zip(parts, PACKS_OF, (packs, more), strict=True)
            )
        ]
        drafts = [
            OrderLineDraft(
                line.part,
                line.packs,
                self.shop.offers[line.part.pk, line.contents].pk,
                Decimal(line.price_cents) / 100,
            )
            for line in lines
        ]
        row = order_draft(
            supplier=self.shop.supplier,
            lines=drafts,
            drafted=Drafted(NOW, self.shop.technician),
        )
        order_send(order=row, sent_at=NOW, sent_on=TODAY, sent_by=self.shop.technician)
        self.orders.append(Order(row, lines))

    @precondition(lambda self: self.orders)
    @rule(
        data=st.data(),
        side=side,
        packs=st.tuples(some_packs, some_packs).filter(any),
        freight=cents,
        accept=st.booleans(),
    )
    def receive_order(self, data, side, packs, freight, accept):
        order = self.drawn(data)
        came = [(line, count) for line, count in zip(order.lines, packs, strict=True) if count]
        arguments = {
            "order": order.row,
            "lines": [
                PacksCounted(position, count)
                for position, count in enumerate(packs, start=1)
                if count
            ],
            "delivery": Delivery(
                self.shop.places[side], TODAY, freight_amount=Decimal(freight) / 100
            ),
            "received_at": NOW,
            "received_by": self.shop.technician,
            "accept_more_than_ordered": accept,
        }
        if order.status == "closed":
            self.refused("order-not-awaited", order_receive, **arguments)
        elif not accept and any(count > line.open for line, count in came):
            self.refused("more-than-ordered", order_receive, **arguments)
        else:
            order_receive(**arguments)
            self._put_away(came, freight, self.place(side))
            order.settle()

    def _put_away(self, came, freight, place):
        goods = [count * line.price_cents for line, count in came]
        for (line, count), cost, share in zip(came, goods, spread(freight, goods), strict=True):
            pieces = line.pieces(line.received, count)
            self.model.move(line.part.pk, self.suppliers, place, pieces, cost + share)
            line.received += count

    @precondition(lambda self: self.orders)
    @rule(
        data=st.data(),
        side=side,
        number=st.integers(0, 1),
        count=st.integers(1, 4),
        is_replaced=st.booleans(),
    )
    def send_order_back(self, data, side, number, count, is_replaced):
        order = self.drawn(data)
        line = order.lines[number]
        pieces = line.pieces(line.returned, count)
        arguments = {
            "order": order.row,
            "lines": [PacksCounted(number + 1, count)],
            "terms": Return(self.shop.places[side], "Wrong size", is_replaced),
            "returned_at": NOW,
            "returned_by": self.shop.technician,
        }
        if count > line.received - line.returned:
            self.refused("more-than-received", order_return, **arguments)
        elif pieces > self.model.levels[self.place(side), line.part.pk]:
            self.refused("stock-short", order_return, **arguments)
        else:
            order_return(**arguments)
            self.model.move(line.part.pk, self.place(side), self.suppliers, pieces)
            line.returned += count
            if is_replaced:
                line.replaced += count
                order.status = "part_received"

    @precondition(lambda self: self.orders)
    @rule(data=st.data())
    def close_order(self, data):
        order = self.drawn(data)
        arguments = {
            "order": order.row,
            "reason": "",
            "closed_at": NOW,
            "closed_by": self.shop.technician,
        }
        if order.status == "closed":
            self.refused("order-not-awaited", order_close, **arguments)
        else:
            order_close(**arguments)
            order.status = "closed"

    @invariant()
    def orders_stand_as_the_model_says(self):
        stored = dict(PurchaseOrder.objects.values_list("pk", "status"))
        assert stored == {order.row.pk: order.status for order in self.orders}
