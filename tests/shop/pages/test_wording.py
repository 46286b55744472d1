"""What documents say in each language."""

import tomllib
from datetime import date
from decimal import Decimal

import pytest

from shop.models import Language
from shop.pages.wording import WORDS, wording

DAY = date(2026, 1, 2)


def names_of(language):
    texts = tomllib.loads((WORDS / f"{language}.toml").read_text())
    return {(table, name) for table, names in texts.items() for name in names}


def test_every_language_says_all_that_the_others_say():
    assert names_of("en") == names_of("de")
    assert {path.stem for path in WORDS.iterdir()} == set(Language.values)


# Unicode CLDR 46: decimal and grouping signs, where the currency stands, days.
@pytest.mark.parametrize(
    ("language", "country", "money", "percent", "day"),
    [
        ("en", "US", "€1,234.50", "17.5%", "Jan 2, 2026"),
        ("en", "GB", "€1,234.50", "17.5%", "2 Jan 2026"),
        ("de", "DE", "1.234,50\xa0€", "17,5\xa0%", "02.01.2026"),
        ("de", "AT", "€\xa01.234,50", "17,5\xa0%", "02.01.2026"),
        # Nobody writes German by the rules of the United States.
        ("de", "US", "1.234,50\xa0€", "17,5\xa0%", "02.01.2026"),
        ("en", "", "€1,234.50", "17.5%", "Jan 2, 2026"),
    ],
)
def test_money_percentages_and_days_are_written_as_language_and_country_do(
    language, country, money, percent, day
):
    words = wording(language, country)
    assert words.money(Decimal("1234.5"), "EUR", 2) == money
    assert words.percent(Decimal("17.500")) == percent
    assert words.day(DAY) == day


@pytest.mark.parametrize(
    ("price", "shown"), [("60", "60.00"), ("0.4", "0.40"), ("0.4050", "0.405"), ("100", "100.00")]
)
def test_prices_of_one_may_be_finer_than_amounts(price, shown):
    assert wording("en", "US").price(Decimal(price), 2) == shown
