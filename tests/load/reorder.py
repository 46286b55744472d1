"""Measure the reorder report with a short ledger and a long one: `python -m tests.load.reorder`.

Both have the same parts and the same two years; the long one has so many more moves in each week.
One move in a hundred has a quote beside it that was short of the part. The ledger is written by its
own triggers, week by week, in databases of their own, which are dropped at the end.
"""

import argparse
import statistics
import sys
from datetime import datetime, timedelta
from functools import partial
from random import Random
from typing import Any

from tests.load.database import in_databases_of_their_own, tell, timed_ms

WEEKS = 104
MOVES_A_SHORTAGE = 100
ONE_PART = "(%(parts)s::bigint[])[1 + floor(random() * %(count)s)::int]"
RECEIVE = """
    INSERT INTO shop_move (part_id, from_place_id, to_place_id, quantity, value, reason, reference,
                           moved_at)
    SELECT id, %(supplier)s, %(shelf)s, 1000000, 1000000, 'received', '', %(begins)s FROM shop_part
"""
USE = f"""
    INSERT INTO shop_move (part_id, from_place_id, to_place_id, quantity, value, reason, reference,
                           moved_at)
    SELECT {ONE_PART}, %(shelf)s, %(used)s, 1 + number %% 3, 1 + number %% 3, 'fitted', '',
           %(begins)s::timestamptz + random() * interval '7 days'
    FROM generate_series(1, %(moves)s) AS number
"""


def arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(
        prog="python -m tests.load.reorder",
        description="Measure the reorder report with a short ledger and a long one.",
    )
    parser.add_argument("--parts", type=int, default=2000, help="parts (2000)")
    parser.add_argument("--moves", type=int, default=1_000_000, help="of the long one (1 000 000)")
    parser.add_argument("--share", type=int, default=100, help="times as long as the short (100)")
    parser.add_argument("--rounds", type=int, default=15, help="reports of each kind (15)")
    return parser.parse_args()


class Ledger:
    """A shop with so many parts, whose ledger grows."""

    def __init__(self, parts: int, now: datetime) -> None:
        from shop.models import Part
        from tests.factories.diagnostics import ExaminationFactory
        from tests.factories.shop import PartFactory, SupplierFactory, TaxCategoryFactory
        from tests.factories.world import main_shelf, outside

        tax, supplier = TaxCategoryFactory(), SupplierFactory()
        made = PartFactory.build_batch(parts, tax_category=tax, supplier=supplier)
        self.examination = ExaminationFactory()
        self.random = Random(1)
        self.begins = now - timedelta(weeks=WEEKS + 1)
        self.values = {
            "parts": [part.pk for part in Part.objects.bulk_create(made)],
            "count": parts,
            "shelf": main_shelf().pk,
            "supplier": outside("supplier").pk,
            "used": outside("used").pk,
        }
        self._execute(RECEIVE, begins=self.begins)

    def _execute(self, statement: str, **values: object) -> None:
        from django.db import connection

        with connection.cursor() as cursor:
            cursor.execute(statement, self.values | values)

    def grow(self, moves: int) -> None:
        """Add moves to all weeks alike, and the shortages that go with them."""
        for week in range(WEEKS):
            begins = self.begins + timedelta(weeks=week)
            self._execute(USE, begins=begins, moves=moves // WEEKS)
            if week % 26 == 25:
                tell(f"{week + 1} of {WEEKS} weeks of {moves} moves written")
        self._fall_short(moves // MOVES_A_SHORTAGE)

    def _fall_short(self, count: int) -> None:
        """Add quotes over all weeks that were short of a part, and whose jobs are done."""
        from billing.models import BagLine, Quote
        from diagnostics.models import Examination
        from shop.models import Place
        from tests.factories.billing import APPROVED, COMPLETED, QuoteFactory
        from tests.factories.diagnostics import ExaminationFactory
        from tests.factories.shop import PlaceFactory

        one = self.examination
        same = {"instrument": one.instrument, "technician": one.technician}
        examinations = Examination.objects.bulk_create(
            ExaminationFactory.build_batch(count, **same)
        )
        bags = Place.objects.bulk_create(PlaceFactory.build_batch(count, bag=True))
        free = {"net_total": 0, "tax_total": 0, "gross_total": 0, "lines": [], "taxes": []}
        quotes = Quote.objects.bulk_create(
            QuoteFactory.build(
                examination=examination,
                bag=bag,
                made_at=self.begins + self.random.random() * WEEKS * timedelta(weeks=1),
                **free,
            )
            for examination, bag in zip(examinations, bags, strict=True)
        )
        parts = self.random.choices(self.values["parts"], k=count)
        BagLine.objects.bulk_create(
            BagLine(quote=quote, part_id=part, wanted_quantity=3, taken_quantity=1)
            for quote, part in zip(quotes, parts, strict=True)
        )
        for columns in (APPROVED, COMPLETED):
            Quote.objects.filter(pk__in=[quote.pk for quote in quotes]).update(**columns)

    def tidy(self) -> None:
        """Do what the server does by itself after a while."""
        from django.db import connections

        with connections["owner"].cursor() as cursor:
            cursor.execute("VACUUM (ANALYZE)")


class Shop:
    """A database with a ledger of so many moves, and what is measured of it."""

    def __init__(self, database: str, options: argparse.Namespace, moves: int) -> None:
        from django.utils import timezone

        from shop.models import Move, Role
        from tests.callers import caller_with
        from tests.databases import use

        self.database, self.now = database, timezone.now()
        use(database)
        ledger, self.office = Ledger(options.parts, self.now), caller_with(Role.OFFICE)
        ledger.grow(moves - options.parts)
        ledger.tidy()
        self.moves = Move.objects.count()
        self.times: dict[str, list[float]] = {"report": [], "request": [], "valuation": []}

    def measure(self) -> None:
        from billing.queries.reorder import reorder_report
        from shop.queries.holdings import parts_held_at
        from tests.databases import use

        use(self.database)
        year_ago = self.now - timedelta(weeks=WEEKS // 2)
        list(parts_held_at(year_ago)[:1])  # connects
        works = {
            "report": lambda: reorder_report(now=self.now),
            "request": lambda: self.office.get("/reorder-report"),
            "valuation": lambda: list(parts_held_at(year_ago)),
        }
        for name, work in works.items():
            self.times[name].append(timed_ms(work))


def measure(options: argparse.Namespace, databases: Any) -> None:
    """Measure both by turns, so that whatever else the machine does falls on both alike."""
    tell("Filling two shops ...")
    short = Shop(databases.shared, options, options.moves // options.share)
    shops = [short, Shop(databases.committed, options, options.moves)]
    for done in range(1, options.rounds + 1):
        for shop in shops:
            shop.measure()
        tell(f"{done} of {options.rounds} rounds")
    print(f"{options.parts} parts, medians of {options.rounds}: the reorder report, the whole")
    print("request of it, and what was held and worth a year ago:")
    print("  rows of ledger" + "".join(f"{f'{name}, ms':>15}  ratio" for name in short.times))
    for shop in shops:
        columns = [
            f"{statistics.median(times):15.0f}  {_ratio(times, short.times[name]):5.2f}"
            for name, times in shop.times.items()
        ]
        print(f"  {shop.moves:>14,}" + "".join(columns))


def _ratio(times: list[float], least: list[float]) -> float:
    """Return the median of the ratios of each round."""
    return statistics.median(time / other for time, other in zip(times, least, strict=True))


if __name__ == "__main__":
    sys.exit(in_databases_of_their_own(partial(measure, arguments())))
