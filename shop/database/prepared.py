"""Statements that PostgreSQL plans once for each connection."""

from collections.abc import Sequence
from weakref import WeakKeyDictionary

import psycopg
from django.db import connection

_names: "WeakKeyDictionary[psycopg.Connection, dict[str, str]]" = WeakKeyDictionary()


def prepare(statement: str, types: Sequence[str]) -> str:
    """Return the name by which `EXECUTE` runs `statement`, with parameters `$1`, `$2` of `types`.

    PREPARE stands in SQL, since psycopg prepares nothing for cursors that put the parameters into
    the text, as Django's do. It is no part of the transaction and outlives a rollback.
    """
    names = _names.setdefault(connection.connection, {})
    if statement not in names:
        name = f"prepared_{len(names)}"
        with connection.wrap_database_errors:
            # Not Django's cursor: what is sent once for each connection is no part of an action.
            connection.connection.execute(f"PREPARE {name} ({', '.join(types)}) AS {statement}")
        names[statement] = name
    return names[statement]
