"""Many rows in one statement, at the cost of a few."""

import json
from collections.abc import Iterable
from functools import cache
from typing import TypeVar

from django.db import connection
from django.db.models import Model

Row = TypeVar("Row", bound=Model)


def rows_insert(rows: Iterable[Row]) -> list[Row]:
    """Insert new rows of one model by one statement, give them their keys, and return them.

    Does what `bulk_create` does for rows of plain columns, in less time: the rows travel as one
    JSON document that PostgreSQL reads by the columns' types. Constraints and guards see each row
    as ever.
    """
    made = list(rows)
    if made:
        statement, columns = _statement(type(made[0]))
        values = [{column: getattr(row, column) for column in columns} for row in made]
        with connection.cursor() as cursor:
            cursor.execute(statement, [json.dumps(values, default=str)])
            for row, (key,) in zip(made, cursor.fetchall(), strict=True):
                row.pk = key
                row._state.adding = False  # noqa: SLF001 (the documented way to say it is stored)
    return made


@cache
def _statement(model: type[Model]) -> tuple[str, list[str]]:
    """Return the statement that inserts rows of `model`, and the columns that it takes."""
    options, quote = model._meta, connection.ops.quote_name
    fields = [field for field in options.concrete_fields if field is not options.pk]
    names = [quote(str(field.column)) for field in fields]
    types = [field.db_type(connection) for field in fields]
    columns = ", ".join(names)
    typed = ", ".join(f"{name} {kind}" for name, kind in zip(names, types, strict=True))
    statement = (
        f"INSERT INTO {quote(options.db_table)} ({columns})"  # noqa: S608 (names of our own)
        f" SELECT {columns} FROM jsonb_to_recordset(%s) AS given ({typed})"
        f" RETURNING {quote(str(options.pk.column))}"
    )
    return statement, [field.attname for field in fields]
