"""The sheet that quotes, orders and invoices share, filled."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass, field
from datetime import date
from typing import Any

from shop.models import PaperSize, ShopProfile
from shop.pages.documents import PAPER, archival_pdf, document_pdf
from shop.pages.wording import Wording

TEMPLATE = "sheet"


@dataclass(frozen=True)
class Column:
    """A column of the table; numbers stand right, and wide columns take the room that is left."""

    title: str
    is_number: bool = False
    is_wide: bool = False


@dataclass(frozen=True)
class Cell:
    """What stands in a cell, and in small print below it."""

    text: str
    small: str = ""


@dataclass(frozen=True)
class Row:
    """A row of the table, and what the rows down to it come to, where that is carried."""

    cells: Sequence[Cell]
    carried: str | None = None


@dataclass(frozen=True)
class Total:
    """A line below the table."""

    name: str
    amount: str
    is_strong: bool = False


@dataclass(frozen=True)
class Paper:
    """All that stands on a document, as text that is ready to print.

    `dated` is the day that the file says it is of; without one it says none.
    """

    title: str
    sender: dict[str, str]
    receiver: dict[str, str]
    facts: list[tuple[str, str]]
    columns: list[Column]
    rows: list[Row]
    totals: list[Total] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    dated: date | None = None


def paper_pdf(paper: Paper, words: Wording, profile: ShopProfile) -> bytes:
    """Return a document as PDF."""
    return document_pdf(TEMPLATE, _data(paper, words, profile))


def paper_carrying(
    paper: Paper, words: Wording, profile: ShopProfile, file_name: str, xml: bytes
) -> bytes | None:
    """Return a document as PDF that carries `xml` as another form of itself.

    None when its text is in a script that the fonts lack.
    """
    data = _data(paper, words, profile) | {"attached_as": file_name}
    return archival_pdf(TEMPLATE, data, attached=xml.decode())


def _data(paper: Paper, words: Wording, profile: ShopProfile) -> dict[str, Any]:
    day = paper.dated
    return asdict(paper) | {
        "dated": day and {"year": day.year, "month": day.month, "day": day.day},
        "language": words.language,
        "words": words.texts["sheet"],
        "paper_size": PAPER[PaperSize(profile.paper_size)],
    }
