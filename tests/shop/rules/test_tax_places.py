from decimal import Decimal

import pytest

from shop.rules.tax_places import PlacedRate, TaxPlace, rates_at

# Invented percentages.
RATES = [
    PlacedRate(1, TaxPlace("QX", "Fenland"), Decimal(4)),
    PlacedRate(1, TaxPlace(), Decimal(20)),
    PlacedRate(1, TaxPlace("QX"), Decimal(15)),
    PlacedRate(2, TaxPlace("QX"), Decimal(7)),
]


@pytest.mark.parametrize(
    ("place", "percents"),
    [
        (TaxPlace("QX", "Fenland"), {1: 4, 2: 7}),
        (TaxPlace("QX", "FENLAND"), {1: 4, 2: 7}),
        (TaxPlace("QX", "Uplands"), {1: 15, 2: 7}),
        (TaxPlace("QX"), {1: 15, 2: 7}),
        (TaxPlace("QY", "Fenland"), {1: 20}),
        (TaxPlace(), {1: 20}),
    ],
    ids=["its region", "in capitals", "another region", "a country", "abroad", "nowhere known"],
)
def test_the_most_particular_rate_of_a_place_holds(place, percents):
    assert rates_at(place, RATES) == percents
    assert rates_at(place, RATES[::-1]) == percents
