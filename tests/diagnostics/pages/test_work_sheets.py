"""The printed work-sheet, read back by a program that knows nothing of how it was made."""

from io import StringIO

import pytest
from django.core.management import call_command

from diagnostics.models import Cause
from shop.models import ShopProfile
from tests.callers import nobody, technician
from tests.diagnostics.api.test_next_checks import examined, found
from tests.documents import assert_accessible, read, squeezed, text_of
from tests.shop.test_words import english_in

__all__ = ["nobody", "technician"]


@pytest.fixture(autouse=True)
def _loaded(db):
    call_command("load_catalogue", stdout=StringIO())


@pytest.fixture
def sticking():
    on = examined()
    found(on, 60, 62, 64, fault="stays-down")
    found(on, 70, fault="blocked-down")
    return on


def said_by(sheet):
    """Return whatever the JSON of the sheet says that a technician needs on paper."""
    checks = [check for level in sheet["levels"] for check in level["checks"]]
    yield from (sheet["instrument"], sheet["client"], sheet["place"], sheet["verdict"])
    for check in [*sheet["first"], *checks]:
        yield from (check["name"], check["instruction"], check["reads_as"])
    for check in checks:
        yield check["reason"]
        yield from (told["positive"]["causes"][0]["name"] for told in check["tells"])
    for part in ("levels", "remedies", "parts", "tools"):
        yield from (each["name"] for each in sheet[part])
    for caution in sheet["cautions"]:
        yield from (caution["title"], caution["text"])


def test_all_that_the_sheet_says_is_printed_with_boxes_for_each_note(technician, sticking):
    path = f"/examinations/{sticking.pk}/work-sheet"
    answer = technician.get(f"{path}/pdf")
    reader = read(answer)
    sheet = technician.get(path).json()
    text = squeezed(text_of(reader))
    # Words are cut at the ends of lines, where the printed language allows it.
    joined = text.replace("\u2010 ", "").replace("- ", "-")
    for said in said_by(sheet):
        assert squeezed(said).replace("- ", "-").strip() in joined, said
    numbered = sum(len(level["checks"]) for level in sheet["levels"])
    assert f" {numbered}. " in text
    assert f" {numbered + 1}. " not in text
    # C4 is middle C, MIDI 60 (as scientific pitch notation has it). A check of all notes together
    # has boxes beside no name, and notes are named where what it tells of them differs.
    assert "C4 + \u2212 D4 + \u2212 E4 + \u2212" in text
    checks = [check for level in sheet["levels"] for check in level["checks"]]
    by_note = [check for check in checks if check["per_note"] and 60 in check["notes_midi"]]
    assert text.count("C4 + \u2212") == len(by_note) < len(checks)
    differing = [told for check in checks if len(check["tells"]) > 1 for told in check["tells"]]
    for told in differing:
        assert f"{told['notes']}: + {told['positive']['causes'][0]['name']}" in joined
    assert joined.count(": + ") == len(differing)
    assert "Centre pins, " not in text
    assert_accessible(reader, language="en", title=f"Work-sheet: {sheet['instrument']}")
    assert technician.get(f"{path}/pdf").content == answer.content


def test_the_shop_reads_it_in_its_language_the_catalogue_too(technician, sticking):
    ShopProfile.objects.update(language="de", country="DE", paper_size="letter")
    found(sticking, 71, 72, cause=Cause.objects.get(code="u-ham"))
    reader = read(technician.get(f"/examinations/{sticking.pk}/work-sheet/pdf"))
    text = squeezed(text_of(reader))
    for words in (
        "Arbeitsblatt",
        "Bevor etwas geöffnet wird",
        "zu 80 % sicher",
        "Achsstifte, Stärke nach Befund: 2",
        "Vorsicht",
    ):
        assert words in text
    for words in ("Before anything is opened", "Look first", "Tells", "cause that"):
        assert words not in text
    assert english_in(text) == set()
    # ANSI/ASME Y14.1: 8.5 in wide, of 72 points each.
    assert float(reader.pages[0].mediabox.width) == 612


def test_a_sheet_of_nothing_found_has_no_empty_parts(technician, nobody):
    on = examined()
    text = squeezed(text_of(read(technician.get(f"/examinations/{on.pk}/work-sheet/pdf"))))
    assert "Before anything is opened" in text
    for words in ("Likely work", "Parts to take", "Tools to take", "Sure enough already"):
        assert words not in text
    assert technician.get("/examinations/987654/work-sheet/pdf").status_code == 404
    assert nobody.get(f"/examinations/{on.pk}/work-sheet/pdf").status_code == 401
