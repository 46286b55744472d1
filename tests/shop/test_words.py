"""The words for the texts that ship, beside the catalogue's files and the code."""

import ast
import re
import tomllib
from pathlib import Path
from string import Formatter

import pytest
from django.conf import settings

from shop.models import Action, Language
from shop.queries.words import WORDS, words_in
from shop.rules.words import ENGLISH, said

CATALOGUE = settings.BASE_DIR / "fixtures" / "catalogue"
# What of the catalogue stands on a client's papers or on a work-sheet: file, table, columns.
SHOWN = [
    ("causes", "cause", ["name"]),
    ("cautions", "caution", ["title", "text"]),
    ("checks", "check", ["name", "instruction", "reads_as"]),
    ("components", "component", ["name"]),
    ("faults", "fault", ["name", "description"]),
    ("parts", "part", ["name"]),
    ("price_book", "fee", ["name"]),
    ("price_book", "tax_category", ["exemption_reason"]),
    ("remedies", "remedy", ["name"]),
    ("set_ups", "set_up", ["name"]),
    ("tools", "tool", ["name"]),
]
# English has these from German.
COGNATES = {"Wippen"}
FOREIGN = sorted(set(Language.values) - {Language.ENGLISH})


def catalogue_texts():
    """Yield the different texts of each column that is shown."""
    for file, table, columns in SHOWN:
        rows = tomllib.loads((CATALOGUE / f"{file}.toml").read_text())[table]
        for column in columns:
            yield {row[column] for row in rows if row.get(column)}
    yield {label.lower() for label in Action.labels}


def english_in(text):
    """Return the texts of the catalogue that stand in a text as they ship."""
    texts, text = set().union(*catalogue_texts()) - COGNATES, " ".join(text.split())
    return {each for each in texts if re.search(rf"\b{re.escape(each)}(?!\w)", text)}


def code_texts():
    """Return the texts that the code hands to `said`, and all that stand in it."""
    handed, written = set(), set()
    for app in ("shop", "diagnostics", "billing"):
        for file in Path(settings.BASE_DIR, app).rglob("*.py"):
            for node in ast.walk(ast.parse(file.read_text())):
                if isinstance(node, ast.Constant) and isinstance(node.value, str):
                    written.add(node.value)
                function = getattr(node, "func", None)
                if getattr(function, "id", getattr(function, "attr", "")) == "said":
                    handed |= {each.value for each in node.args if isinstance(each, ast.Constant)}
    return handed, written


def fields_of(text):
    return {name for _, name, _, _ in Formatter().parse(text) if name}


def test_each_language_but_the_one_that_ships_has_its_words():
    assert [path.stem for path in WORDS.iterdir()] == FOREIGN
    assert words_in("en") == ENGLISH == {}


@pytest.mark.parametrize("language", FOREIGN)
def test_every_text_that_ships_has_its_words_and_no_others_are_left(language):
    words = words_in(language)
    texts = set().union(*catalogue_texts())
    handed, written = code_texts()
    assert "Deposit on quote {number}" in handed
    assert (texts | handed) - words.keys() == set()
    assert words.keys() - texts - written == set()


@pytest.mark.parametrize("language", FOREIGN)
def test_words_differ_where_texts_do_and_have_their_values(language):
    words = words_in(language)
    for texts in catalogue_texts():
        assert len({words[text] for text in texts}) == len(texts)
    for text, foreign in words.items():
        assert fields_of(foreign) == fields_of(text), text
        assert foreign.strip(), text


def test_what_has_no_words_stays_as_it_is():
    words = {"Deposit on quote {number}": "Anzahlung zu Angebot {number}"}
    assert said(words, "Deposit on quote {number}", number=7) == "Anzahlung zu Angebot 7"
    assert said(ENGLISH, "Deposit on quote {number}", number=7) == "Deposit on quote 7"
    assert said(words, "Our {special}") == "Our {special}"
