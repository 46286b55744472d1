"""Rows of the catalogue as records: read from their columns, and reduced to plain values."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any, TypeAlias, cast

from django.contrib.postgres.fields import ArrayField
from django.core.exceptions import ValidationError
from django.core.validators import ProhibitNullCharactersValidator
from django.db import models

from shop.actions.catalogue_files import Columns, Table
from shop.errors import FieldError
from shop.models import CatalogueRow, Provenance
from shop.rules.catalogue import digest
from shop.rules.quantities import plain

Field: TypeAlias = "models.Field[Any, Any]"
Link: TypeAlias = "models.ManyToManyField[Any, Any]"

# What TOML must give for a column. Types are compared exactly, since true is an int to Python.
ACCEPTED: "list[tuple[type[Field], tuple[type, ...], str]]" = [
    (models.BooleanField, (bool,), "true or false"),
    (models.DecimalField, (int, Decimal), "a number"),
    (models.IntegerField, (int,), "a whole number"),
    (models.DateField, (date,), "a day such as 2000-01-31"),
    (ArrayField, (list,), "a list"),
    (models.Field, (str,), "a text"),
]
NO_NULL_CHARACTERS = ProhibitNullCharactersValidator()


@dataclass
class Row:
    """A record of the catalogue and its many-to-many links: the columns of each, by field."""

    record: CatalogueRow
    links: dict[str, list[Columns]]


class Codes:
    """Codes and primary keys of the tables that rows refer to, each table read once."""

    def __init__(self) -> None:
        self._keys: dict[type[models.Model], dict[str, int]] = {}
        self._codes: dict[type[models.Model], dict[int, str]] = {}

    def key(self, model: type[models.Model], code: str) -> int | None:
        """Return the primary key of the row with `code`, None when there is no such row."""
        self._read(model)
        return self._keys[model].get(code)

    def code(self, model: type[models.Model], key: int) -> str:
        """Return the code of the row with primary key `key`."""
        self._read(model)
        return self._codes[model][key]

    def _read(self, model: type[models.Model]) -> None:
        if model not in self._keys:
            self._keys[model] = dict(model._default_manager.values_list("code", "pk"))
            self._codes[model] = {key: code for code, key in self._keys[model].items()}


def columns_of(model: type[models.Model]) -> dict[str, Field]:
    """Return the columns that ship: not the key, nor a reference to what only the shop knows."""
    return {
        field.name: field
        for field in model._meta.concrete_fields
        if not (field.primary_key or field.name == "shipped_digest")
        and issubclass(field.related_model or CatalogueRow, CatalogueRow)
    }


def links_of(model: type[models.Model]) -> dict[str, Link]:
    """Return the many-to-many fields of a table."""
    return {field.name: field for field in model._meta.many_to_many}


def link_model(link: Link) -> type[models.Model]:
    """Return the table that holds the links of a many-to-many field."""
    return cast("type[models.Model]", link.remote_field.through)


def link_columns(link: Link) -> dict[str, Field]:
    """Return the columns of a link beside its owner: the row linked to, and any of its own."""
    columns = columns_of(link_model(link))
    del columns[link.m2m_field_name()]
    return columns


def digest_of(row: Row, codes: Codes) -> str:
    """Return the digest of a row's values and links.

    Values at their column's default are left out, those of links too, so that a column added to
    a table later does not make every row look edited.
    """
    values: Columns = {
        name: _plain(field, held, codes)
        for name, field in columns_of(type(row.record)).items()
        if not _at_default(field, held := getattr(row.record, field.attname), codes)
    }
    for name, link in links_of(type(row.record)).items():
        columns = link_columns(link).values()
        values[name] = sorted(
            [
                _plain(column, entry[column.attname], codes)
                for column in columns
                if not _at_default(column, entry[column.attname], codes)
            ]
            for entry in row.links[name]
        )
    return digest(values)


def _at_default(field: Field, held: Any, codes: Codes) -> bool:
    return bool(_plain(field, held, codes) == _plain(field, field.get_default(), codes))


def _plain(field: Field, held: Any, codes: Codes) -> Any:
    """Return a value as JSON has it, the same whether it was written or read back."""
    value = field.to_python(held)
    if isinstance(value, Decimal):
        return plain(value)
    if isinstance(value, date):
        return value.isoformat()
    if field.related_model and value is not None:
        return codes.code(field.related_model, value)
    return value


class Reader:
    """Makes records out of a table's rows as written, and notes in `problems` what is wrong."""

    def __init__(self, table: Table, codes: Codes) -> None:
        self.table = table
        self.codes = codes
        self.columns = columns_of(table.model)
        self.links = links_of(table.model)
        self.problems: list[FieldError] = []

    def read(self, written: Iterable[Columns]) -> list[Row]:
        """Return the rows in order, without the columns that are wrong."""
        rows = [self._row(columns, place) for place, columns in enumerate(written, start=1)]
        for name, field in self.columns.items():
            if field.unique:
                self._note_repeated(name, rows)
        return rows

    def _row(self, written: Columns, place: int) -> Row:
        code = str(written.get("code", place))
        adapted = self.table.adapt(written)
        values: Columns = {}
        links: dict[str, list[Columns]] = {name: [] for name in self.links}
        for name, raw in adapted.items():
            try:
                if name in self.links:
                    links[name] = link_values(self.links[name], raw, self.codes)
                elif name in self.columns:
                    column = self.columns[name]
                    values[column.attname] = column_value(column, raw, self.codes)
                else:
                    self._note(code, name, "there is no such column")
            except ValidationError as error:
                self._note(code, name, " ".join(error.messages))
        for name in self._missing(adapted):
            self._note(code, name, "is missing")
        if adapted.get("provenance") in ("", Provenance.SHOP):
            self._note(code, "provenance", "What ships says where it comes from.")
        return Row(self.table.model(**values), links)

    def _missing(self, written: Columns) -> Iterator[str]:
        for name, field in self.columns.items():
            optional = field.has_default() or field.null or field.blank
            if name not in written and (name == "provenance" or not optional):
                yield name
        if written.get("provenance") == Provenance.PUBLISHED and not written.get("source"):
            yield "source"

    def _note_repeated(self, name: str, rows: Iterable[Row]) -> None:
        seen = set()
        for row in rows:
            value = getattr(row.record, name)
            if value in seen:
                self._note(row.record.code, name, f"Another row has {value} already.")
            seen.add(value)

    def _note(self, code: str, column: str, sentence: str) -> None:
        self.problems.append(self.table.problem(code, column, sentence))


def column_value(field: Field, written: Any, codes: Codes) -> Any:
    """Return what a column stores for what was written: for a code, the key of that row.

    Raises:
        ValidationError: the column cannot hold it, or no row has that code.
    """
    types, wanted = next(
        (types, wanted) for kind, types, wanted in ACCEPTED if isinstance(field, kind)
    )
    if type(written) not in types:
        raise ValidationError(f"{written!r} is not {wanted}.")
    for text in written if isinstance(written, list) else [written]:
        if isinstance(written, list) and type(text) is not str:
            raise ValidationError(f"{text!r} in the list is not a text.")
        if isinstance(text, str):
            NO_NULL_CHARACTERS(text)
    if not field.related_model:
        return field.clean(written, None)
    key = codes.key(field.related_model, written)
    if key is None:
        noun = field.related_model._meta.verbose_name
        raise ValidationError(f"No {noun} has the code {written!r}.")
    return key


def link_values(link: Link, written: Any, codes: Codes) -> list[Columns]:
    """Return the columns of each link: written as a code, or as a table if it has more columns.

    Raises:
        ValidationError: it is no such list, a column cannot hold a value, or a row comes twice.
    """
    if type(written) is not list:
        raise ValidationError(f"{written!r} is not a list.")
    columns = link_columns(link)
    entries = []
    for entry in written:
        values = entry if len(columns) > 1 else dict.fromkeys(columns, entry)
        if type(values) is not dict or values.keys() != columns.keys():
            raise ValidationError(f"{entry!r} is not a table of {' and '.join(columns)}.")
        entries.append(
            {
                column.attname: column_value(column, values[name], codes)
                for name, column in columns.items()
            }
        )
    target = columns[link.m2m_reverse_field_name()].attname
    if len({entry[target] for entry in entries}) < len(entries):
        raise ValidationError("The same row is named twice.")
    return entries
