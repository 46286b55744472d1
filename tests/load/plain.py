"""The least that storing a quote could cost: five statements on plain tables, without Django."""

from decimal import Decimal

import psycopg

PLENTY = 1_000_000
TABLES = """
    CREATE SCHEMA plain;
    CREATE TABLE plain.level (
        part_id bigint PRIMARY KEY, quantity numeric(14, 3) CHECK (quantity >= 0));
    CREATE TABLE plain.quote (
        id bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY, net_total numeric(14, 3));
    CREATE TABLE plain.line (
        id bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
        quote_id bigint REFERENCES plain.quote, part_id bigint, quantity numeric(14, 3),
        unit_price numeric(14, 4), net_amount numeric(14, 3));
    CREATE INDEX ON plain.line (quote_id);
    CREATE TABLE plain.move (
        id bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
        part_id bigint, from_place_id bigint, to_place_id bigint, quantity numeric(14, 3));
    CREATE INDEX ON plain.move (part_id);
"""


class PlainQuotes:
    """Stores quotes of one of each part with set-based SQL alone."""

    def __init__(self, connection: psycopg.Connection, parts: int) -> None:
        self.connection = connection
        self.part_ids = list(range(1, parts + 1))
        self.ones = [Decimal(1)] * parts
        with connection.transaction():
            connection.execute(TABLES)
            connection.execute(
                "INSERT INTO plain.level SELECT unnest(%s::bigint[]), %s", [self.part_ids, PLENTY]
            )

    def store(self) -> None:
        with self.connection.transaction():
            self._take()
            self._write()

    def _take(self) -> None:
        self.connection.execute(
            "SELECT part_id, quantity FROM plain.level WHERE part_id = ANY(%s)"
            " ORDER BY part_id FOR UPDATE",
            [self.part_ids],
        ).fetchall()
        self.connection.execute(
            "UPDATE plain.level SET quantity = level.quantity - taken.quantity"
            " FROM unnest(%s::bigint[], %s::numeric[]) AS taken (part_id, quantity)"
            " WHERE level.part_id = taken.part_id",
            [self.part_ids, self.ones],
        )

    def _write(self) -> None:
        quote = self.connection.execute(
            "INSERT INTO plain.quote (net_total) VALUES (%s) RETURNING id", [sum(self.ones)]
        ).fetchone()
        self.connection.execute(
            "INSERT INTO plain.line (quote_id, part_id, quantity, unit_price, net_amount)"
            " SELECT %s, * FROM unnest(%s::bigint[], %s::numeric[], %s::numeric[], %s::numeric[])",
            [quote[0], self.part_ids, self.ones, self.ones, self.ones],
        )
        self.connection.execute(
            "INSERT INTO plain.move (part_id, from_place_id, to_place_id, quantity)"
            " SELECT part_id, 1, 2, quantity"
            " FROM unnest(%s::bigint[], %s::numeric[]) AS moved (part_id, quantity)",
            [self.part_ids, self.ones],
        )
