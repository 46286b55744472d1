"""Printed documents: a template of the folder `typst`, filled and set as PDF."""

import json
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import typst

from shop.models import PaperSize

if TYPE_CHECKING:
    from typst import PDFStandard

# The names that typst has for them.
PAPER = {PaperSize.A4: "a4", PaperSize.LETTER: "us-letter"}
TEMPLATES = Path(__file__).parent / "typst"
# Tagged, in a language, with a title, all text selectable: ISO 14289-1.
ACCESSIBLE: Final = "ua-1"


def document_pdf(template: str, data: Mapping[str, Any]) -> bytes:
    """Return the document that a template makes of `data`, as PDF; equal data give equal bytes.

    `data` goes in as JSON: text stays text, whatever it holds. The fonts are those that come with
    typst, embedded in the document. A name in a script that they lack is still printed, with gaps,
    which the standard for accessible documents forbids; so that is not claimed then.
    """
    sources = TEMPLATES / f"{template}.typ", json.dumps(data)
    with suppress(typst.TypstError):
        return _compiled(*sources, [ACCESSIBLE])
    return _compiled(*sources, [])


def _compiled(template: Path, data: str, standards: "list[PDFStandard]") -> bytes:
    pdf: bytes = typst.compile(
        template,
        root=TEMPLATES,
        sys_inputs={"data": data},
        ignore_system_fonts=True,
        pdf_standards=standards,
    )
    return pdf
