from datetime import timedelta
from decimal import Decimal

import pytest

from billing.queries.reorder import reorder_by_supplier, reorder_report, reorder_row
from shop.models import PurchaseOrder
from tests.billing.queries.test_demand import HALF, bag, become, lack, use
from tests.factories.purchasing import (
    OrderLineFactory,
    PriceBreakFactory,
    PurchaseOrderFactory,
    ReceiptFactory,
    ReceiptLineFactory,
    SupplierOfferFactory,
    sent,
)
from tests.factories.shop import MoveFactory, PartFactory, SupplierFactory
from tests.factories.world import NOW, TODAY, stock

pytestmark = pytest.mark.django_db


def row_of(part, now=NOW):
    return reorder_row(part=part, now=now)


def test_open_quotes_count_by_what_becomes_of_them():
    part = PartFactory()
    stock(part, 20, 1)
    for status in ("offered", "approved"):
        line = lack(part)
        bag(line, 1)
        become(line.quote, status)
    become(lack(part).quote, "declined")

    found = row_of(part)

    assert (found.stock.on_hand, found.stock.in_offered, found.stock.in_approved) == (18, 1, 1)
    assert (found.stock.short_on_offered, found.stock.short_on_approved) == (3, 3)
    # One approved, one declined, and the prior: 2 + 1 of 3 + 2: 18 + 0.4 x 1 - 0.6 x 3 - 3.
    assert found.policy.approval_chance == HALF + Decimal("0.1")
    assert found.found.position == Decimal("13.6")


def test_a_part_may_have_a_service_level_of_its_own():
    own, shops = PartFactory(service_level_percent=99), PartFactory()
    levels = [row_of(part).policy.service_level_percent for part in (own, shops)]
    assert levels == [99, 95]


def test_what_is_awaited_and_what_is_drafted_counts():
    part = PartFactory()
    OrderLineFactory(part=part, packs=2)
    sent_line = OrderLineFactory(part=part, packs=5)
    receive(sent_line, packs=1)
    found = row_of(part).stock
    # Packs of a hundred.
    assert (found.drafted, found.on_order, found.on_hand) == (200, 400, 100)


def test_a_part_is_bought_of_its_supplier_at_what_they_offer():
    part = PartFactory(supplier=SupplierFactory(lead_time_days=20), lead_time_days=7)
    usual = SupplierOfferFactory(part=part, supplier=part.supplier, price_breaks=[])
    for packs, price in ((2, "9.50"), (10, 8)):
        PriceBreakFactory(offer=usual, from_packs=packs, price=Decimal(price))
    SupplierOfferFactory(part=part)  # somebody else's, at half of it
    become(lack(part, quantity=30).quote, "approved")

    row = row_of(part)

    assert (row.supplier, row.found.terms.offer_id) == (part.supplier, usual.pk)
    assert (row.found.terms.pack_quantity, row.found.terms.lead_time.days) == (100, 20)
    # Thirty in 13 weeks with a spread of 30 / √13: 6.6 in 20 days, 16.2 below the point, and 1.645
    # times 21.5. From -30 one pack would do, and two are the least that are sold.
    assert row.found.reorder_point == 59
    assert (row.found.packs, row.found.pack_price) == (2, Decimal("9.50"))


def test_a_part_without_a_supplier_of_its_own_is_bought_of_whoever_offers_it():
    offer = SupplierOfferFactory(part=PartFactory(), lead_time_days=3)
    row = row_of(offer.part)
    assert (row.supplier, row.found.terms.lead_time.days) == (offer.supplier, 3)


def test_what_a_parts_supplier_does_not_offer_is_bought_in_the_parts_own_pack():
    part = PartFactory(supplier=SupplierFactory(), pack_quantity=12, lead_time_days=5)
    SupplierOfferFactory(part=part)
    row = row_of(part)
    terms = row.found.terms
    assert (row.supplier, terms.pack_quantity, terms.lead_time.days) == (part.supplier, 12, 5)


def test_the_lead_time_is_what_deliveries_took():
    offer = SupplierOfferFactory(lead_time_days=3)
    for days in (10, 12, 16):
        order = PurchaseOrderFactory(supplier=offer.supplier, lines=[])
        line = OrderLineFactory(order=order, part=offer.part)
        receive(line, packs=1, after_days=days)
    found = row_of(offer.part).found.terms.lead_time
    # The quartiles of 10, 12 and 16 are 11 and 14; those of the standard normal distribution are
    # 1.34898 apart.
    assert (found.days, found.spread_days) == (12, pytest.approx(3 / 1.34898, rel=1e-5))


def receive(line, *, packs, after_days=0):
    """Send a line's order, and receive so many packs of it."""
    dates = {"sent_on": TODAY - timedelta(days=after_days), "expected_on": TODAY}
    PurchaseOrder.objects.filter(pk=line.order_id).update(**sent() | dates)
    receipt = ReceiptFactory(order=line.order, received_on=TODAY, lines=[])
    ReceiptLineFactory(receipt=receipt, order_line=line, packs=packs)


def needy(supplier, on_hand):
    """A part that costs 4, of which one was used in each of the last twenty weeks."""
    part = PartFactory(supplier=supplier, cost=4, lead_time_days=7)
    for week in range(20):
        moved_at = NOW - timedelta(weeks=week + 1)
        MoveFactory(part=part, quantity=1, value=1, moved_at=moved_at)
        use(part, 1, moved_at)
    stock(part, on_hand, 1)
    return part


def test_an_order_below_the_suppliers_minimum_is_filled_up_with_what_runs_out_next():
    supplier = SupplierFactory(minimum_order_value=150)
    wanted, next_out, last_out = (needy(supplier, on_hand) for on_hand in (1, 9, 90))

    (group,) = reorder_by_supplier(now=NOW)

    # By hand: one a week, delivered after 7 days with a spread of 7 / 4: 1 and 0.5, and 1.645 x
    # √(1 / 16 + 0.5²) are a reorder point of 3, and twenty, as many as there are weeks, are 22 more
    # from 1 on. They cost 88, so that 16 more are wanted: 14 of the second, until it lasts as long
    # as the first, and then one of each.
    packs = {row.part: (row.found.packs, row.found.added_packs) for row in group.rows}
    assert packs == {wanted: (23, 1), next_out: (15, 15)}
    assert (group.cost, group.missing) == (152, 0)
    assert [row.found.packs for row in reorder_report(now=NOW)] == [23, 15, 0]
    assert last_out not in packs


def test_nothing_is_ordered_for_the_sake_of_a_minimum():
    needy(SupplierFactory(minimum_order_value=400), on_hand=90)
    assert reorder_by_supplier(now=NOW) == []


def test_what_cannot_reach_the_minimum_says_what_is_missing():
    # No more than a year's demand of 52 is there to be bought.
    needy(SupplierFactory(minimum_order_value=400), on_hand=1)
    (group,) = reorder_by_supplier(now=NOW)
    assert (group.cost, group.missing) == (4 * 51, 400 - 4 * 51)
