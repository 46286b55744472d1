"""How sheets are read: strict CSV (RFC 4180), each row with the line it starts on."""

import csv
import io
from collections.abc import Iterator, Mapping
from typing import IO, Any, NoReturn

from rest_framework import serializers
from rest_framework.fields import empty
from rest_framework.parsers import BaseParser
from rest_framework.serializers import Serializer

from shop.errors import FieldError
from shop.http.cells import cell_read
from shop.http.field_errors import pointer_to
from shop.http.parsers import text_of
from shop.http.problems import RequestProblem

MAX_ROWS = 5000
MAX_CELL_CHARACTERS = 10_000
DELIMITERS = ",;\t"

Field = serializers.Field[Any, Any, Any, Any]
Fields = Mapping[str, Field]


class SheetRow(dict[str, Any]):
    """The cells of one row by their column, and its line in the sheet."""

    def __init__(self, cells: Mapping[str, Any], line: int) -> None:
        super().__init__(cells)
        self.line = line


class CSVParser(BaseParser):
    """Base of what reads CSV, and says for the description of the API what it takes."""

    media_type = "text/csv"

    def described(self, serializer: type[Serializer[Any]]) -> str:
        """Return what a body looks like whose rows have the fields of `serializer`."""
        raise NotImplementedError


class StrictCSVParser(CSVParser):
    """Reads a sheet in UTF-8 whose header row names fields of the view's input serializer.

    The delimiter is whichever of comma, semicolon and tab stands most often in the header row.
    `rows_of` is the serializer of a row where that is not the view's input.
    """

    rows_of: type[Serializer[Any]] | None = None

    def described(self, serializer: type[Serializer[Any]]) -> str:
        """Return what a sheet looks like."""
        columns = ", ".join((self.rows_of or serializer)().fields)
        return f"CSV in UTF-8 with a header row; the columns are {columns}."

    def parse(  # type: ignore[override]  # a list is as good
        self,
        stream: IO[Any],
        media_type: str | None = None,
        parser_context: Mapping[str, Any] | None = None,
    ) -> list[SheetRow]:
        """Return the rows.

        Raises:
            RequestProblem: `malformed-csv`, naming every wrong column or row.
        """
        text = text_of(stream.read(), media_type, "malformed-csv")
        if "\0" in text:
            _refuse("The body holds NUL characters; it is not CSV in UTF-8.")
        fields = (self.rows_of or (parser_context or {})["view"].input_class())().fields
        try:
            rows = _rows(text, {n: each for n, each in fields.items() if not each.read_only})
        except csv.Error as error:
            raise RequestProblem("malformed-csv", f"Not CSV: {error}.") from error
        return [SheetRow(self.given(row, fields), row.line) for row in rows]

    def given(self, row: SheetRow, fields: Fields) -> Mapping[str, Any]:  # noqa: ARG002
        """Return the values that a row gives: an empty cell gives none."""
        return {name: cell for name, cell in row.items() if cell}


class ExchangedCSVParser(StrictCSVParser):
    """Reads a sheet that answers as CSV too, so that what was answered means what was there.

    An empty cell empties what may be empty, and an apostrophe that kept a spreadsheet from running
    a formula is taken off.
    """

    def given(self, row: SheetRow, fields: Fields) -> Mapping[str, Any]:
        """Return the values that a row gives."""
        values = {name: self._value(cell, fields[name]) for name, cell in row.items()}
        return {name: value for name, value in values.items() if value is not empty}

    def _value(self, cell: str, field: Field) -> Any:
        if cell:
            return cell_read(cell)
        if field.allow_null:
            return None
        return "" if getattr(field, "allow_blank", False) else empty


def _refuse(detail: str, errors: tuple[FieldError, ...] = ()) -> NoReturn:
    raise RequestProblem("malformed-csv", detail, errors)


def _rows(text: str, fields: Fields) -> list[SheetRow]:
    header_line = text.partition("\n")[0]
    delimiter = max(DELIMITERS, key=header_line.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    columns = [name.strip() for name in next(reader, [])]
    _check_columns(columns, fields)
    rows: list[SheetRow] = []
    errors: list[FieldError] = []
    for line, cells in _records(reader):
        error = _row_error(cells, len(columns), len(rows), line)
        errors += [error] if error else []
        rows.append(SheetRow(dict(zip(columns, cells, strict=False)), line))
        if len(rows) > MAX_ROWS:
            _refuse(f"There are more than {MAX_ROWS} rows; send them in several requests.")
    if errors:
        _refuse(f"{len(errors)} rows cannot be read; `errors` names each.", tuple(errors))
    return rows


def _records(reader: Any) -> Iterator[tuple[int, list[str]]]:
    """Yield each record that is not empty with the line it starts on, since it may span several."""
    before = reader.line_num
    for cells in reader:
        if any(cells):
            yield before + 1, cells
        before = reader.line_num


def _row_error(cells: list[str], width: int, index: int, line: int) -> FieldError | None:
    if len(cells) != width:
        sentence = f"Line {line}: {len(cells)} cells under {width} columns."
        return FieldError(pointer_to(index), "wrong-width", sentence)
    if any(len(cell) > MAX_CELL_CHARACTERS for cell in cells):
        sentence = f"Line {line}: a cell is longer than {MAX_CELL_CHARACTERS} characters."
        return FieldError(pointer_to(index), "cell-too-long", sentence)
    return None


def _check_columns(columns: list[str], fields: Fields) -> None:
    wrong = {
        "unknown": sorted(set(columns) - set(fields)),
        "given twice": sorted({name for name in columns if columns.count(name) > 1}),
        "missing": [name for name, each in fields.items() if each.required and name not in columns],
    }
    found = [f"{what}: {', '.join(map(repr, names))}" for what, names in wrong.items() if names]
    if found:
        _refuse(f"Columns {'; '.join(found)}. The columns are {', '.join(fields)}.")
