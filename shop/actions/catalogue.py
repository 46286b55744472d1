"""Loading the shipped catalogue, and the shop's own tables of it.

Each app declares its tables; `tables_load` loads those of all apps in one transaction.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.db import IntegrityError, transaction

from shop.actions.catalogue_files import Columns, Table, documents_read, refuse_if
from shop.actions.catalogue_rows import (
    Codes,
    Link,
    Reader,
    Row,
    columns_of,
    digest_of,
    link_model,
    links_of,
)
from shop.errors import FieldError
from shop.models import CatalogueRow, Part, ShopProfile, TaxCategory, WoodSpecies
from shop.rules.catalogue import Fate, fate_of

PRICE_BOOK = "price_book.toml"
HISTORY = "events"  # how pghistory names what has happened to a row

SHOP_TABLES = (
    Table(TaxCategory, PRICE_BOOK, "tax_category"),
    Table(Part, "parts.toml", "part"),
    Table(WoodSpecies, "species.toml", "species"),
)


@dataclass(frozen=True)
class Loaded:
    """How many rows of a table met which fate."""

    model: type[CatalogueRow]
    counts: Counter[Fate]


@transaction.atomic
def tables_load(*, tables: Sequence[Table], folder: Path) -> list[Loaded]:
    """Load the catalogue in `folder` into `tables`, each after those it refers to, and count.

    A row that the shop has edited, renamed or taken away since it was last shipped, or that is the
    shop's own, stays as it is. The number of statements does not depend on the number of rows.

    Raises:
        InvalidInput: something in the files is wrong; the errors name file, row and column.
        IntegrityError: a guard refuses a change to a row that the shop has.
    """
    ShopProfile.objects.select_for_update().get()  # one load at a time
    documents = documents_read(folder, tables)
    codes = Codes()
    return [_table_load(table, documents[table.file][table.section], codes) for table in tables]


def _table_load(table: Table, written: list[Columns], codes: Codes) -> Loaded:
    stored = _stored_rows(table.model)
    digests = {code: digest_of(row, codes) for code, row in stored.items()}
    kept = {code for code, row in stored.items() if digests[code] != row.record.shipped_digest}
    kept |= _codes_once_had(table.model) - stored.keys()
    reader = Reader(table, codes)
    # What the shop has made its own is not even read, so that it can never make a load fail.
    shipped = reader.read([columns for columns in written if str(columns.get("code")) not in kept])
    refuse_if(reader.problems)
    fates = Counter({Fate.KEPT: len(written) - len(shipped)})
    changed = []
    for row in shipped:
        row.record.shipped_digest = digest_of(row, codes)
        fate = fate_of(row.record.shipped_digest, digests.get(row.record.code))
        fates[fate] += 1
        if fate != Fate.UNCHANGED:
            changed.append(row)
    _rows_write(table, changed, stored)
    return Loaded(table.model, fates)


def _codes_once_had(model: type[CatalogueRow]) -> set[str]:
    """Return the codes in the history of a table; one that has no row now was taken away."""
    histories = [link.related_model for link in model._meta.related_objects if link.name == HISTORY]
    return {
        code
        for history in histories
        for code in history._default_manager.values_list("code", flat=True).distinct()
    }


def _stored_rows(model: type[CatalogueRow]) -> dict[str, Row]:
    """Lock the rows of a table against other edits and return them by code."""
    # Not their keys: quotes and findings may go on referring to them.
    records = model._default_manager.select_for_update(no_key=True).order_by("pk")
    rows = {record.pk: Row(record, {name: [] for name in links_of(model)}) for record in records}
    for name, link in links_of(model).items():
        owner = f"{link.m2m_field_name()}_id"
        for entry in link_model(link)._default_manager.values():
            rows[entry[owner]].links[name].append(entry)
    return {row.record.code: row for row in rows.values()}


def _rows_write(table: Table, rows: list[Row], stored: Mapping[str, Row]) -> None:
    try:
        with transaction.atomic():
            _records_write(table.model, [row.record for row in rows])
            for name, link in links_of(table.model).items():
                _links_write(name, link, rows)
    except IntegrityError:
        refuse_if(_refusals(table, rows, stored))
        raise


def _records_write(model: type[CatalogueRow], records: list[CatalogueRow]) -> None:
    """Insert records, or bring those whose code is known up to date, and set their keys."""
    columns = [name for name in columns_of(model) if name != "code"]
    model._default_manager.bulk_create(
        records,
        update_conflicts=True,
        unique_fields=["code"],
        update_fields=[*columns, "shipped_digest"],
    )


def _links_write(name: str, link: Link, rows: list[Row]) -> None:
    through, owner = link_model(link), f"{link.m2m_field_name()}_id"
    keys = [row.record.pk for row in rows]
    through._default_manager.filter(**{f"{owner}__in": keys}).delete()
    through._default_manager.bulk_create(
        through(**{owner: row.record.pk}, **entry) for row in rows for entry in row.links[name]
    )


def _refusals(table: Table, rows: Iterable[Row], stored: Mapping[str, Row]) -> Iterator[FieldError]:
    """Find the rows that the database refused, by asking it row by row."""
    for row in rows:
        if row.record.code in stored:
            row.record.pk = stored[row.record.code].record.pk
            row.record._state.adding = False  # noqa: SLF001 (how a record is compared with others)
        try:
            row.record.full_clean()
        except ValidationError as error:
            for column, sentences in error.message_dict.items():
                name = "" if column == NON_FIELD_ERRORS else column
                yield table.problem(row.record.code, name, " ".join(sentences))
        yield from _link_refusals(table, row)


def _link_refusals(table: Table, row: Row) -> Iterator[FieldError]:
    for name, link in links_of(table.model).items():
        for entry in row.links[name]:
            try:
                link_model(link)(**entry).validate_constraints(exclude={link.m2m_field_name()})
            except ValidationError as error:
                yield table.problem(row.record.code, name, " ".join(error.messages))
