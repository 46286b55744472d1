from decimal import Decimal
from fractions import Fraction

import pytest

from shop.rules.order_quantity import PriceFrom
from shop.rules.purchasing import Choice, cheapest, least_packs, line_amount

BREAKS = [
    PriceFrom(1, Decimal(10)),
    PriceFrom(10, Decimal("8.50")),
    PriceFrom(5, Decimal(9)),
]


@pytest.mark.parametrize(
    ("quantity", "choice"),
    [
        # By hand, packs of 100 at 10, from five at 9, from ten at 8.50; and of 1000 at 80.
        (1, Choice(0, 1, Decimal(10))),
        (300, Choice(0, 3, Decimal(10))),
        # Five at 9 cost 45, four at 10 cost 40.
        (400, Choice(0, 4, Decimal(10))),
        # Nine at 9 cost 81, a thousand cost 80.
        (900, Choice(1, 1, Decimal(80))),
        # Two thousand: 160, against twenty at 8.50.
        (1100, Choice(0, 11, Decimal("8.50"))),
        (1900, Choice(1, 2, Decimal(80))),
    ],
)
def test_the_cheapest_packs_that_cover_a_quantity_are_chosen(quantity, choice):
    offered = [
        (Fraction(100), BREAKS),
        (Fraction(1000), [PriceFrom(1, Decimal(80))]),
    ]
    assert cheapest(Decimal(quantity), offered) == choice


def test_more_is_bought_where_a_break_makes_more_cost_less_or_as_much():
    cheap_from_five = [PriceFrom(1, Decimal(10)), PriceFrom(5, Decimal(6))]
    assert cheapest(Decimal(4), [(Fraction(1), cheap_from_five)]) == Choice(0, 5, Decimal(6))
    as_much = [PriceFrom(1, Decimal(10)), PriceFrom(5, Decimal(8))]
    assert cheapest(Decimal(4), [(Fraction(1), as_much)]) == Choice(0, 5, Decimal(8))


def test_what_is_sold_from_so_many_on_is_bought_so_many_times():
    assert (least_packs(BREAKS), least_packs(BREAKS[1:])) == (1, 5)
    assert cheapest(Decimal(1), [(Fraction(1), BREAKS[1:])]) == Choice(0, 5, Decimal(9))
    assert cheapest(Decimal(1), []) is None


@pytest.mark.parametrize(
    ("packs", "price", "decimals", "amount"),
    [(3, "1.1150", 2, "3.35"), (3, "1.1150", 0, "3"), (7, "0.0005", 3, "0.004")],
)
def test_a_line_is_rounded_once_halves_away_from_nothing(packs, price, decimals, amount):
    assert line_amount(packs, Decimal(price), decimals) == Decimal(amount)
