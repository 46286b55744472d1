"""The sheet that quotes, orders and invoices share, filled."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass, field
from datetime import date
from typing import Any

from shop.models import PaperSize, ShopProfile
from shop.pages.documents import PAPER, archival_pdf, document_pdf
from shop.pages.letterhead import letterhead
from shop.pages.wording import Wording
from shop.rules.addresses import town_line

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
class Section:
    """Paragraphs below a head of their own, or a table.

    `ticked` puts a box to tick beside each paragraph: whether it is ticked already.
    """

    title: str
    paragraphs: Sequence[str] = ()
    ticked: Sequence[bool] = ()
    columns: Sequence[Column] = ()
    rows: Sequence[Row] = ()


@dataclass(frozen=True)
class Paper:
    """All that stands on a document, as text that is ready to print.

    `opening` is what a letter says, before its table if it has one. `dated` is the day that the
    file says it is of; without one it says none. `sign_here` are the lines to write on,
    `sign_note` what is signed.
    """

    title: str
    sender: dict[str, str]
    receiver: dict[str, str]
    facts: list[tuple[str, str]]
    columns: list[Column] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)
    opening: list[str] = field(default_factory=list)
    totals: list[Total] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    sections: list[Section] = field(default_factory=list)
    sign_note: str = ""
    sign_here: list[str] = field(default_factory=list)
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


def laid_out(words: Wording, profile: ShopProfile, dated: date | None = None) -> dict[str, Any]:
    """Return what the layout that all documents share is told beside title and sender."""
    return {
        "dated": dated and {"year": dated.year, "month": dated.month, "day": dated.day},
        "language": words.language,
        "paper_size": PAPER[PaperSize(profile.paper_size)],
        "logo": letterhead(profile, words),
    }


def _data(paper: Paper, words: Wording, profile: ShopProfile) -> dict[str, Any]:
    parties = {"sender": _named(paper.sender, words), "receiver": _named(paper.receiver, words)}
    shared = laid_out(words, profile, paper.dated)
    return asdict(paper) | parties | shared | {"words": words.texts["sheet"]}


def _named(party: dict[str, str], words: Wording) -> dict[str, str]:
    country = party.get("country", "")
    town = town_line(party.get("city", ""), party.get("postcode", ""), country)
    return party | {"town": town, "country": words.country(country)}
