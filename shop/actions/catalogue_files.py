"""The files of a catalogue: which there are, and their rows as written."""

import tomllib
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any

from shop.errors import FieldError, InvalidInput
from shop.models import CatalogueRow

Columns = dict[str, Any]
Document = dict[str, list[Columns]]


@dataclass(frozen=True)
class Table:
    """A table of the catalogue and the section of a file that it is written in.

    `adapt` turns the columns of a row as written into the model's, where they differ. A
    many-to-many column is a list of codes, or of inline tables when the link has columns itself.
    """

    model: type[CatalogueRow]
    file: str
    section: str
    adapt: Callable[[Columns], Columns] = dict

    def problem(self, row: str, column: str, sentence: str) -> FieldError:
        """Return what is wrong with a column of the row with the code `row`."""
        where = f"{self.file}, {self.section} {row}"
        if column:
            where += f", column {column}"
        return FieldError(
            f"/{self.file}/{row}/{column}".rstrip("/"), "catalogue-wrong", f"{where}: {sentence}"
        )


def refuse_if(problems: Iterable[FieldError]) -> None:
    """Raise InvalidInput with a line for each problem, if there is one."""
    errors = tuple(problems)
    if errors:
        raise InvalidInput("invalid-input", "\n".join(error.detail for error in errors), errors)


def documents_read(folder: Path, tables: Iterable[Table]) -> dict[str, Document]:
    """Return the rows by file and section.

    Raises:
        InvalidInput: a file or section is missing, unknown or not readable.
    """
    expected: dict[str, set[str]] = defaultdict(set)
    for table in tables:
        expected[table.file].add(table.section)
    found = {path.name for path in folder.glob("*.toml")}
    refuse_if(
        [
            *(_problem(name, f"is missing in {folder}") for name in expected.keys() - found),
            *(_problem(name, "is no file of the catalogue") for name in found - expected.keys()),
        ]
    )
    documents = {name: _parsed(folder / name) for name in expected}
    refuse_if(
        problem
        for name, sections in expected.items()
        for problem in _wrong_sections(name, documents[name], sections)
    )
    return documents


def _parsed(path: Path) -> Document:
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"), parse_float=Decimal)
    except ValueError as error:  # also what TOML and UTF-8 raise, by inheritance
        refuse_if([_problem(path.name, f"is not TOML in UTF-8: {error}")])
        raise


def _wrong_sections(name: str, document: Document, expected: set[str]) -> Iterator[FieldError]:
    for section in sorted(expected - document.keys()):
        yield _problem(name, f"has no [[{section}]]")
    for section, rows in document.items():
        if section not in expected:
            yield _problem(name, f"has an unknown section, {section}")
        elif not (isinstance(rows, list) and all(isinstance(row, dict) for row in rows)):
            yield _problem(name, f"must write each row of {section} as [[{section}]]")


def _problem(name: str, sentence: str) -> FieldError:
    return FieldError(f"/{name}", "catalogue-wrong", f"{name} {sentence}")
