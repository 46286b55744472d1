"""Texts that ship in English, as another language says them."""

from collections.abc import Mapping

# What each text is in a language, under its English.
Words = Mapping[str, str]

ENGLISH: Words = {}


def said(words: Words, text: str, **values: object) -> str:
    """Return a text as these words have it, with values in its places.

    One that they do not have, such as a name that the shop gave, stays as it is.
    """
    found = words.get(text, text)
    return found.format(**values) if values else found


def decimal(words: Words, number: float, places: int) -> str:
    """Return a number with so many places after the language's decimal sign."""
    return f"{number:.{places}f}".replace(".", said(words, "."))
