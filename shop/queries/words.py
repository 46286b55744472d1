"""The words of each language for the texts that ship."""

import tomllib
from functools import cache
from pathlib import Path

from django.conf import settings

from shop.models import Client, Language, ShopProfile
from shop.rules.words import ENGLISH, Words

WORDS = Path(settings.BASE_DIR) / "shop" / "words" / "catalogue"


@cache
def words_in(language: str) -> Words:
    """Return the words of a language (ISO 639-1); texts that ship are in English."""
    if language == Language.ENGLISH:
        return ENGLISH
    with (WORDS / f"{language}.toml").open("rb") as file:
        tables = tomllib.load(file)
    long = {text[Language.ENGLISH]: text[language] for text in tables.pop("long")}
    return {text: words for table in tables.values() for text, words in table.items()} | long


def words_for(client: Client, profile: ShopProfile) -> Words:
    """Return the words of the language that a client reads."""
    return words_in(client.language or profile.language)
