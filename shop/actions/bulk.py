"""Many rows in one statement, at the cost of a few."""

import json
from collections.abc import Sequence
from functools import cache

from django.db import connection
from django.db.models import Model

Batch = Sequence[Model]


def rows_insert(*batches: Batch) -> None:
    """Insert new rows by one statement and give them their keys; each batch is of one model.

    Does what `bulk_create` does for rows of plain columns, in less time: each batch travels as one
    JSON document that PostgreSQL reads by the columns' types. Constraints and guards see each row
    as ever. No batch may refer to the keys of another.
    """
    filled = [batch for batch in batches if batch]
    if not filled:
        return
    statement = _statement(tuple(type(batch[0]) for batch in filled))
    with connection.cursor() as cursor:
        cursor.execute(statement, [_document(batch) for batch in filled])
        keys = cursor.fetchone() or ()
    for batch, batch_keys in zip(filled, keys, strict=True):
        for row, key in zip(batch, batch_keys, strict=True):
            row.pk = key
            row._state.adding = False  # noqa: SLF001 (the documented way to say it is stored)


def _document(batch: Batch) -> str:
    names = _names(type(batch[0]))
    return json.dumps([{name: getattr(row, name) for name in names} for row in batch], default=str)


@cache
def _names(model: type[Model]) -> tuple[str, ...]:
    """Return the attributes of a row of `model` that are columns, but for its key."""
    options = model._meta
    return tuple(field.attname for field in options.concrete_fields if field is not options.pk)


@cache
def _statement(models: tuple[type[Model], ...]) -> str:
    inserts = ", ".join(f"new_{index} AS ({_insert(model)})" for index, model in enumerate(models))
    keys = ", ".join(f"ARRAY(SELECT id FROM new_{index})" for index in range(len(models)))
    return f"WITH {inserts} SELECT {keys}"


def _insert(model: type[Model]) -> str:
    # Put together from names of our own alone.
    options, quote = model._meta, connection.ops.quote_name
    fields = [field for field in options.concrete_fields if field is not options.pk]
    names = [quote(str(field.column)) for field in fields]
    types = [field.db_type(connection) for field in fields]
    columns = ", ".join(names)
    typed = ", ".join(f"{name} {kind}" for name, kind in zip(names, types, strict=True))
    return (
        f"INSERT INTO {quote(options.db_table)} ({columns})"
        f" SELECT {columns} FROM jsonb_to_recordset(%s) AS given ({typed}) RETURNING id"
    )
