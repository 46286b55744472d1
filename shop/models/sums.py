"""What the ledger's trigger does with each batch of moves: the sums that it keeps.

Holdings are locked first and in key order, so that two postings never deadlock. Every other row
that is written belongs to a part whose holding is then locked.
"""

from shop.rules.weeks import FIRST_MONDAY, WEEKS_TOGETHER

# The first day of the 52 weeks that a day is in.
YEAR_OF = (
    f"date_bin('{WEEKS_TOGETHER * 7} days', {{day}}::timestamp, TIMESTAMP '{FIRST_MONDAY}')::date"
)

LOCKED_HOLDINGS = """
    PERFORM 1 FROM shop_holding
        WHERE part_id IN (SELECT part_id FROM new_moves)
        ORDER BY part_id FOR UPDATE;
"""

# A level that exists is changed, one that does not is made with what came: never made empty first.
LEVELS = """
    WITH change AS (
        SELECT part_id, place_id, sum(quantity) AS quantity
        FROM (SELECT part_id, from_place_id AS place_id, -quantity AS quantity FROM new_moves
              UNION ALL
              SELECT part_id, to_place_id, quantity FROM new_moves) AS side
        GROUP BY part_id, place_id),
    changed AS (
        UPDATE shop_level AS level SET quantity = level.quantity + change.quantity
        FROM change WHERE level.part_id = change.part_id AND level.place_id = change.place_id
        RETURNING level.part_id, level.place_id)
    INSERT INTO shop_level (part_id, place_id, is_held, quantity)
        SELECT part_id, place_id, place.kind IN ('shelf', 'van', 'bag'), quantity
        FROM change JOIN shop_place AS place ON place.id = place_id
        WHERE (part_id, place_id) NOT IN (SELECT part_id, place_id FROM changed);
"""

# What crossed the shop's door, by part, kind of place outside, and week.
FLOWS = """
    SELECT move.part_id, outside.kind,
           date_trunc('week', move.moved_at AT TIME ZONE 'UTC')::date AS starts_on,
           COALESCE(sum(move.quantity) FILTER (WHERE outside.id = from_place_id), 0) AS in_quantity,
           COALESCE(sum(move.value) FILTER (WHERE outside.id = from_place_id), 0) AS in_value,
           COALESCE(sum(move.quantity) FILTER (WHERE outside.id = to_place_id), 0) AS out_quantity,
           COALESCE(sum(move.value) FILTER (WHERE outside.id = to_place_id), 0) AS out_value
    FROM {moves} AS move
    JOIN shop_place AS outside
        ON outside.id IN (move.from_place_id, move.to_place_id)
        AND outside.kind NOT IN ('shelf', 'van', 'bag')
    GROUP BY move.part_id, outside.kind, starts_on
"""

ADD_FLOWS = """
    INSERT INTO shop_weeklyflow AS week (part_id, kind, starts_on,
                                         in_quantity, in_value, out_quantity, out_value)
        SELECT part_id, kind, starts_on, in_quantity, in_value, out_quantity, out_value FROM flow
    ON CONFLICT (kind, starts_on, part_id) DO UPDATE
        SET in_quantity = week.in_quantity + EXCLUDED.in_quantity,
            in_value = week.in_value + EXCLUDED.in_value,
            out_quantity = week.out_quantity + EXCLUDED.out_quantity,
            out_value = week.out_value + EXCLUDED.out_value
"""

# Week by week as one list for 52 weeks, to which what changes is added.
ADD_USE = f"""
    INSERT INTO shop_weeklyuse AS year (part_id, starts_on, thousandths)
        SELECT part_id, year_starts_on, array_agg(thousandths ORDER BY number)
        FROM (SELECT part_id, year_starts_on, number,
                     COALESCE(sum(thousandths) FILTER (
                         WHERE starts_on = year_starts_on + 7 * number), 0)::bigint AS thousandths
              FROM (SELECT part_id, starts_on, {YEAR_OF.format(day="starts_on")} AS year_starts_on,
                           1000 * (out_quantity - in_quantity) AS thousandths
                    FROM flow WHERE kind = 'used') AS used
              CROSS JOIN generate_series(0, {WEEKS_TOGETHER - 1}) AS number
              GROUP BY part_id, year_starts_on, number) AS week
        GROUP BY part_id, year_starts_on
    ON CONFLICT (part_id, starts_on) DO UPDATE SET thousandths = ARRAY(
        SELECT before + added
        FROM unnest(year.thousandths, EXCLUDED.thousandths)
            WITH ORDINALITY AS week (before, added, number)
        ORDER BY number)
"""

# A balance is that of the latest week before, or its own, and what has changed up to its end: a
# move dated back changes every later week too.
ADD_BALANCES = """
    INSERT INTO shop_weeklybalance (part_id, starts_on, quantity, value)
        SELECT week.part_id, week.starts_on,
               COALESCE(before.quantity, 0) + sum(change.quantity),
               COALESCE(before.value, 0) + sum(change.value)
        FROM (SELECT part_id, starts_on FROM change
              UNION
              SELECT later.part_id, later.starts_on FROM shop_weeklybalance AS later JOIN change
                  ON later.part_id = change.part_id AND later.starts_on > change.starts_on) AS week
        JOIN change ON change.part_id = week.part_id AND change.starts_on <= week.starts_on
        LEFT JOIN LATERAL (SELECT quantity, value FROM shop_weeklybalance AS earlier
                           WHERE earlier.part_id = week.part_id
                             AND earlier.starts_on <= week.starts_on
                           ORDER BY starts_on DESC LIMIT 1) AS before ON TRUE
        GROUP BY week.part_id, week.starts_on, before.quantity, before.value
    ON CONFLICT (part_id, starts_on) DO UPDATE
        SET quantity = EXCLUDED.quantity, value = EXCLUDED.value
"""

# A move inside the shop, which most are, ends here.
FLOWS_AND_HOLDINGS = f"""
    IF NOT EXISTS (SELECT FROM new_moves AS move JOIN shop_place AS place
                   ON place.id IN (move.from_place_id, move.to_place_id)
                   WHERE place.kind NOT IN ('shelf', 'van', 'bag')) THEN
        RETURN NULL;
    END IF;
    WITH flow AS ({FLOWS.format(moves="new_moves")}),
         change AS (SELECT part_id, starts_on, sum(in_quantity - out_quantity) AS quantity,
                           sum(in_value - out_value) AS value
                    FROM flow GROUP BY part_id, starts_on),
         flows AS ({ADD_FLOWS}),
         uses AS ({ADD_USE}),
         balances AS ({ADD_BALANCES})
    UPDATE shop_holding AS holding
        SET quantity = holding.quantity + total.quantity, value = holding.value + total.value
        FROM (SELECT part_id, sum(quantity) AS quantity, sum(value) AS value
              FROM change GROUP BY part_id) AS total
        WHERE holding.part_id = total.part_id;
    RETURN NULL;
"""

KEEP_SUMS = LOCKED_HOLDINGS + LEVELS + FLOWS_AND_HOLDINGS
