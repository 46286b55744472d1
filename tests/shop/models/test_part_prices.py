from datetime import date
from decimal import Decimal

import pytest

from tests.factories.shop import PartFactory, PartPriceFactory
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db


def test_a_price_of_a_part_is_not_negative():
    with refused("shop_partprice_not_negative"):
        PartPriceFactory(price=Decimal("-0.0001"))
    with accepted():
        PartPriceFactory(price=0)


def test_a_part_has_one_price_from_a_day_on():
    day = date(2026, 7, 1)
    part = PartPriceFactory(valid_from=day).part
    with refused("shop_partprice_day_once"):
        PartPriceFactory(part=part, valid_from=day)
    with accepted():
        PartPriceFactory(part=part, valid_from=date(2026, 7, 2))
        PartPriceFactory(part=PartFactory(), valid_from=day)
