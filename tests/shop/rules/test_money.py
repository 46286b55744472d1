from decimal import Decimal

import pytest

from shop.rules.money import minor_units, rounded


@pytest.mark.parametrize(
    ("currency", "decimals"),
    # Source: ISO 4217, minor units (from memory of list one).
    [("EUR", 2), ("USD", 2), ("GBP", 2), ("JPY", 0), ("KRW", 0), ("HUF", 2), ("BHD", 3)],
)
def test_a_currency_has_the_decimals_of_the_standard(currency, decimals):
    assert minor_units(currency) == decimals


@pytest.mark.parametrize(
    ("amount", "decimals", "expected"),
    [
        ("2.675", 2, "2.68"),
        ("2.665", 2, "2.67"),  # not to even
        ("-2.665", 2, "-2.67"),  # away from zero
        ("1234.5", 0, "1235"),
        ("0.0005", 3, "0.001"),
    ],
)
def test_halves_are_rounded_away_from_zero(amount, decimals, expected):
    assert rounded(Decimal(amount), decimals) == Decimal(expected)
