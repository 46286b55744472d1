from decimal import Decimal

import pytest

from shop.rules.order_quantity import PriceFrom
from shop.rules.purchasing import least_packs, line_amount


def test_an_offer_is_sold_from_where_its_first_price_starts():
    assert least_packs([PriceFrom(10, Decimal(8)), PriceFrom(5, Decimal(9))]) == 5


@pytest.mark.parametrize(
    ("packs", "price", "decimals", "amount"),
    [(3, "1.1150", 2, "3.35"), (3, "1.1150", 0, "3"), (7, "0.0005", 3, "0.004")],
)
def test_a_line_is_rounded_once_halves_away_from_nothing(packs, price, decimals, amount):
    assert line_amount(packs, Decimal(price), decimals) == Decimal(amount)
