"""The same five statements on tables of the shop's own shape, without Django and without guards.

The tables are copies of the shop's, with their columns, indexes, checks and foreign keys, so that
what is left of the difference is what Django and the guards cost.
"""

from decimal import Decimal

import psycopg

TABLES = ("shop_level", "shop_move", "billing_quote", "billing_quoteline")
COPY = "CREATE TABLE shaped.{table} (LIKE public.{table} INCLUDING ALL)"
KEYS = """
    SELECT conrelid::regclass::name, pg_get_constraintdef(oid)
    FROM pg_constraint WHERE contype = 'f' AND conrelid::regclass::name = ANY (%s)
"""
LINE = """
    INSERT INTO shaped.billing_quoteline (quote_id, part_id, position, kind, description, quantity,
        unit, unit_price, discount_amount, discount_reason, net_amount, tax_category_id, tax_code,
        tax_percent, note_count, minutes_low, minutes_likely, minutes_high)
    SELECT %s, part_id, row_number() OVER (), 'part', name, quantity, 'piece', price, 0, '', price,
        %s, 'S', 17.5, 0, 0, 0, 0
    FROM unnest(%s::bigint[], %s::text[], %s::numeric[], %s::numeric[])
        AS given (part_id, name, quantity, price)
"""
MOVE = """
    INSERT INTO shaped.shop_move (part_id, from_place_id, to_place_id, quantity, value, reason,
        reference, moved_at, moved_by_id)
    SELECT part_id, %s, %s, quantity, 0, 'bagged', '', now(), %s
    FROM unnest(%s::bigint[], %s::numeric[]) AS given (part_id, quantity)
"""


class ShapedQuotes:
    """Stores quotes of one of each part with set-based SQL alone, in full rows."""

    def __init__(self, connection: psycopg.Connection, shop) -> None:
        self.connection, self.shop = connection, shop
        self.part_ids = [part.pk for part in shop.parts]
        self.names = [part.name for part in shop.parts]
        self.ones = [Decimal(1)] * len(self.part_ids)
        self.prices = [Decimal("2.50")] * len(self.part_ids)
        self.user = shop.caller.user.pk
        with connection.transaction():
            connection.execute("CREATE SCHEMA shaped")
            for table in TABLES:
                connection.execute(COPY.format(table=table))
            for table, definition in connection.execute(KEYS, [list(TABLES)]).fetchall():
                shaped = definition.replace("billing_quote(", "shaped.billing_quote(")
                connection.execute(f"ALTER TABLE shaped.{table} ADD {shaped}")
            connection.execute("INSERT INTO shaped.shop_level SELECT * FROM public.shop_level")

    def store(self, examination, bag_id: int) -> None:
        with self.connection.transaction():
            self._take()
            self._write(examination, bag_id)

    def _take(self) -> None:
        shelf = self.shop.shelf.pk
        self.connection.execute(
            "SELECT part_id, quantity FROM shaped.shop_level WHERE part_id = ANY (%s)"
            " AND place_id = %s ORDER BY part_id FOR UPDATE",
            [self.part_ids, shelf],
        ).fetchall()
        self.connection.execute(
            "UPDATE shaped.shop_level AS level SET quantity = level.quantity - taken.quantity"
            " FROM unnest(%s::bigint[], %s::numeric[]) AS taken (part_id, quantity)"
            " WHERE level.part_id = taken.part_id AND level.place_id = %s",
            [self.part_ids, self.ones, shelf],
        )

    def _write(self, examination, bag_id: int) -> None:
        quote = self.connection.execute(
            "INSERT INTO shaped.billing_quote (currency, minor_units, line_total,"
            " allowance_total, charge_total, net_total, tax_total, gross_total, rounding_amount,"
            " payable_total, examination_id, client_id, status, made_at, made_by_id, valid_until,"
            " plan, bag_id, from_place_id, net_low, net_high, minutes_low, minutes_likely,"
            " minutes_high, diagnosis, version, deposit_amount, terms, decided_by_name,"
            " decision_reason) VALUES ('EUR', 2, 30, 0, 0, 30, 5.25, 35.25, 0, 35.25, %s, %s,"
            " 'offered', now(), %s, '2099-12-31', 'now', %s, %s, 30, 30, 0, 0, 0, '{}', 1, 0,"
            " '', '', '') RETURNING id",
            [
                examination.pk,
                self.shop.instrument.site.client_id,
                self.user,
                bag_id,
                self.shop.shelf.pk,
            ],
        ).fetchone()
        tax_category = self.shop.tax_category.pk
        values = [self.part_ids, self.names, self.ones, self.prices]
        self.connection.execute(LINE, [quote[0], tax_category, *values])
        places = [self.shop.shelf.pk, bag_id, self.user]
        self.connection.execute(MOVE, [*places, self.part_ids, self.ones])
