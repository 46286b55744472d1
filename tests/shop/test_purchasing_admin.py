"""The office's pages of what is bought."""

from datetime import timedelta

import pytest
from django.utils import timezone

from shop.models import PurchaseOrder, Receipt, SupplierOffer, SupplierReturn
from tests.factories.purchasing import (
    PurchaseOrderFactory,
    ReceiptFactory,
    SupplierOfferFactory,
    SupplierReturnFactory,
)
from tests.office_pages import list_address, page_address, read, sign_in, statements

pytestmark = pytest.mark.django_db


def test_lists_and_pages_cost_the_same_for_one_row_and_five():
    browser = sign_in()
    makers = {
        SupplierOffer: SupplierOfferFactory,
        PurchaseOrder: lambda: PurchaseOrderFactory(sent=True),
        Receipt: ReceiptFactory,
        SupplierReturn: SupplierReturnFactory,
    }
    for model, make in makers.items():
        row = make()
        read(browser, page_address(row))
        of_one = statements(browser, list_address(model))
        for _ in range(4):
            make()
        assert statements(browser, list_address(model)) == of_one, model


def test_an_orders_page_shows_how_its_lines_stand():
    order = PurchaseOrderFactory(sent=True, lines__description="Centre pin 20, inch")
    ReceiptFactory(order=order)
    page = read(sign_in(), page_address(order))
    assert order.number in page
    assert "Centre pin 20, inch" in page
    # Two of ten packs came.
    assert '<span class="number">2</span>' in page
    assert '<span class="number">8</span>' in page
    assert '<span class="number">95.00</span>' in page


def test_orders_that_are_awaited_or_late_are_left_by_a_filter():
    draft, closed = PurchaseOrderFactory(), PurchaseOrderFactory(closed=True)
    late, awaited = PurchaseOrderFactory(sent=True), PurchaseOrderFactory(sent=True)
    tomorrow = timezone.localdate() + timedelta(days=1)
    PurchaseOrder.objects.filter(pk=awaited.pk).update(expected_on=tomorrow)

    def listed(choice):
        page = read(sign_in(), list_address(PurchaseOrder), awaited=choice)
        return {order for order in (draft, closed, late, awaited) if page_address(order) in page}

    assert listed("yes") == {late, awaited}
    assert listed("late") == {late}
