"""Printed documents: a template of the folder `typst`, filled and set as PDF."""

import json
from collections.abc import Mapping
from contextlib import suppress
from functools import cache
from pathlib import Path
from threading import Lock
from typing import TYPE_CHECKING, Any, Final

import typst

from shop.models import PaperSize

if TYPE_CHECKING:
    from typst import Compiler, PDFStandard

# The names that typst has for them.
PAPER = {PaperSize.A4: "a4", PaperSize.LETTER: "us-letter"}
TEMPLATES = Path(__file__).parent / "typst"
# Tagged, in a language, with a title, all text selectable: ISO 14289-1.
ACCESSIBLE: Final = "ua-1"
# Kept for years, with files attached: ISO 19005-3, level B.
ARCHIVAL: Final = "a-3b"

# The compiler sets one document at a time.
_turn = Lock()


def document_pdf(template: str, data: Mapping[str, Any]) -> bytes:
    """Return the document that a template makes of `data`, as PDF; equal data give equal bytes.

    `data` goes in as JSON: text stays text, whatever it holds. The fonts are those that come with
    typst, embedded in the document. A name in a script that they lack is still printed, with gaps,
    which the standard for accessible documents forbids; so that is not claimed then.
    """
    inputs = {"data": json.dumps(data)}
    with suppress(typst.TypstError):
        return _compiled(template, inputs, [ACCESSIBLE])
    return _compiled(template, inputs, [])


def archival_pdf(template: str, data: Mapping[str, Any], *, attached: str) -> bytes | None:
    """Return a document as PDF/A-3b with a text that the template attaches to it.

    None when the fonts lack a script of it, since the standard forbids gaps.
    """
    inputs = {"data": json.dumps(data), "attached": attached}
    with suppress(typst.TypstError):
        return _compiled(template, inputs, [ARCHIVAL, ACCESSIBLE])
    return None


@cache
def _compiler() -> "Compiler":
    # Kept, since reading the fonts takes longer than setting a document.
    return typst.Compiler(root=TEMPLATES, ignore_system_fonts=True)


def _compiled(template: str, inputs: dict[str, str], standards: "list[PDFStandard]") -> bytes:
    source = TEMPLATES / f"{template}.typ"
    with _turn:
        pdf: Any = _compiler().compile(input=source, sys_inputs=inputs, pdf_standards=standards)
    return bytes(pdf)
