"""What the history tables say of a row that was written by raw SQL."""

import json

from django.db import connection, models


def labels_and_values(event: str, pk: int, column: str) -> list[tuple]:
    with connection.cursor() as cursor:
        cursor.execute(
            f"SELECT pgh_label, {column}::text FROM {event} WHERE id = %s ORDER BY pgh_id", [pk]
        )
        return cursor.fetchall()


def lived_in_raw_sql(row: models.Model, apart: dict, column: str, values: list[str]) -> list[tuple]:
    """Copy `row`, give `column` of the copy each of `values`, delete it; return its history.

    `apart` are the columns in which the copy must differ from `row`.
    """
    table, pk = row._meta.db_table, row.pk + 1_000_000
    first, *later = values
    copied = json.dumps({**apart, "id": pk, column: first})
    with connection.cursor() as cursor:
        cursor.execute(
            f"INSERT INTO {table} SELECT (jsonb_populate_record(original, %s)).*"
            f" FROM {table} AS original WHERE id = %s",
            [copied, row.pk],
        )
        for value in later:
            cursor.execute(f"UPDATE {table} SET {column} = %s WHERE id = %s", [value, pk])
        cursor.execute(f"DELETE FROM {table} WHERE id = %s", [pk])
    return labels_and_values(f"{table}event", pk, column)
