"""The words of documents in each language, and dates, numbers and money as it writes them."""

import tomllib
from contextlib import suppress
from copy import copy
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

from babel import Locale, UnknownLocaleError
from babel.dates import format_date
from babel.numbers import NumberPattern, format_decimal, format_percent
from django.conf import settings

from shop.queries.words import words_in
from shop.rules.words import Words, said

WORDS = Path(settings.BASE_DIR) / "shop" / "words" / "layout"


@dataclass(frozen=True)
class Wording:
    """How documents are written in a language and the shop's country.

    `texts` are those of `words/layout/<language>.toml`: a table for each kind of document. `words`
    are those of the texts that ship, such as the catalogue's.
    """

    language: str
    locale: Locale
    texts: dict[str, dict[str, str]]
    words: Words

    def said(self, text: str) -> str:
        """Return a text of the catalogue in this language; the shop's own stays as it is."""
        return said(self.words, text)

    def day(self, day: date) -> str:
        """Return a day as it is written in the middle of a line."""
        return format_date(day, "medium", self.locale)

    def country(self, code: str) -> str:
        """Return the name of a country, given by its ISO 3166-1 code."""
        return str(self.locale.territories.get(code, code))

    def number(self, value: Decimal) -> str:
        """Return a number with the decimals that say something."""
        return format_decimal(value.normalize(), locale=self.locale, decimal_quantization=False)

    def amount(self, value: Decimal, decimals: int) -> str:
        """Return an amount of money without its currency."""
        return self._money(self.locale.decimal_formats[None], value, decimals)

    def price(self, value: Decimal, decimals: int) -> str:
        """Return the price of one, which may be finer than amounts are."""
        needed = -int(value.normalize().as_tuple().exponent)
        return self.amount(value, max(decimals, needed))

    def money(self, value: Decimal, currency: str, decimals: int) -> str:
        """Return an amount of money with its currency, an ISO 4217 code."""
        pattern = self.locale.currency_formats["standard"]
        return self._money(pattern, value, decimals, currency=currency)

    def percent(self, value: Decimal) -> str:
        """Return a percentage, given in percent."""
        share = value.normalize() / 100
        return format_percent(share, locale=self.locale, decimal_quantization=False)

    def _money(self, pattern: NumberPattern, value: Decimal, decimals: int, **options: Any) -> str:
        # By the document's own decimals, which may not be those of Babel's table.
        exact = copy(pattern)
        exact.frac_prec = (decimals, decimals)
        return str(exact.apply(value, self.locale, currency_digits=False, **options))


@cache
def wording(language: str, country: str) -> Wording:
    """Return how documents are written in a language (ISO 639-1) and country (ISO 3166-1)."""
    with (WORDS / f"{language}.toml").open("rb") as file:
        texts = tomllib.load(file)
    return Wording(language, _locale(language, country), texts, words_in(language))


def _locale(language: str, country: str) -> Locale:
    if country:
        # Not every language is written in every country.
        with suppress(UnknownLocaleError):
            return Locale(language, country)
    return Locale(language)
