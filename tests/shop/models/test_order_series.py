import pytest

from shop.models import OrderSeries
from tests.factories.purchasing import (
    OrderSeriesFactory,
    PurchaseOrderFactory,
    next_in_series,
)
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db


def test_there_is_one_series_of_a_code_and_year():
    OrderSeriesFactory(year=2026)
    with refused("shop_orderseries_once"):
        OrderSeriesFactory(year=2026)
    with accepted():
        OrderSeriesFactory(year=2027)


def test_a_series_starts_with_no_number_given_out_and_goes_up_by_one():
    with refused("shop_orderseries_from_nothing"):
        OrderSeriesFactory(last_number=1)
    PurchaseOrderFactory(sent=True)
    for change in ({"last_number": 3}, {"last_number": 0}, {"last_number": 2, "year": 2027}):
        with refused("shop_orderseries_by_one"):
            OrderSeries.objects.update(**change)
    with accepted():
        PurchaseOrderFactory(sent=True)


def test_a_number_is_given_out_with_the_order_that_bears_it_and_a_series_is_kept():
    with refused("shop_orderseries_no_gap"):
        next_in_series()
    with refused("shop_orderseries_kept"):
        OrderSeriesFactory().delete()
    with accepted():
        PurchaseOrderFactory.create_batch(2, sent=True)
