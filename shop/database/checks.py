"""Which rows the checks of a table would refuse, asked of all of them at once."""

import json
from collections.abc import Mapping, Sequence
from typing import Any

from django.db import connection
from django.db.models import Model

# Their expressions as the database holds them, so that none is written down a second time.
CHECKS = """
    SELECT conname, pg_get_expr(conbin, conrelid) FROM pg_constraint
    WHERE conrelid = %s::regclass AND contype = 'c' AND conname = ANY (%s) ORDER BY conname
"""


def checks_broken(model: type[Model], rows: Sequence[Mapping[str, Any]]) -> list[list[str]]:
    """Return for each row, by column, the names of the model's checks that would refuse it.

    Takes two statements, however many rows there are.
    """
    table = connection.ops.quote_name(model._meta.db_table)
    names = [constraint.name for constraint in model._meta.constraints]
    with connection.cursor() as cursor:
        cursor.execute(CHECKS, [table, names])
        # A check that is neither true nor false refuses nothing.
        cases = ", ".join(
            f"CASE WHEN NOT ({expression}) THEN '{name}' END".replace("%", "%%")
            for name, expression in cursor.fetchall()
        )
        cursor.execute(
            # Put together from the schema's own words alone.
            f"SELECT array_remove(ARRAY[{cases}]::text[], NULL)"  # noqa: S608
            f" FROM jsonb_populate_recordset(NULL::{table}, %s) WITH ORDINALITY"
            " ORDER BY ordinality",
            [json.dumps(rows, default=str)],
        )
        return [broken for (broken,) in cursor.fetchall()]
