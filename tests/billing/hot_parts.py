"""Processes that quote, withdraw, fill bags, receive, move, scrap and count the same few parts.

`python -m tests.billing.hot_parts PROCESSES ACTIONS` prints a line of JSON for each process: how
its actions ended, nothing being tried twice, and what it received of each part.
"""

import json
import os
import random
import sys
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from decimal import Decimal
from multiprocessing import get_context

import django
from django.db import Error

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
django.setup()

from billing.actions.job_bags import (  # noqa: E402 (once Django is set up)
    Given,
    quote_parts_give,
    quote_top_up,
)
from billing.actions.quote_terms import QuoteTerms  # noqa: E402
from billing.actions.quotes import quote_withdraw  # noqa: E402
from billing.actions.quoting import quote_make  # noqa: E402
from billing.models import Quote  # noqa: E402
from diagnostics.models import Examination  # noqa: E402
from shop.actions.stock import (  # noqa: E402
    Posted,
    ReceivedLine,
    goods_receive,
    stock_count,
    stock_scrap,
    stock_transfer,
)
from shop.errors import Refused  # noqa: E402
from shop.models import Part, Place  # noqa: E402
from tests.factories.world import NOW, TODAY, main_shelf  # noqa: E402


class Worker:
    """One process's job, and the hot parts."""

    def __init__(self, number: int) -> None:
        self.chosen = random.Random(number)
        self.examination = Examination.objects.filter(complaint="Hot").order_by("pk")[number]
        self.posted = Posted(NOW, self.examination.technician, f"Process {number}")
        self.parts = list(Part.objects.filter(code__startswith="hot-"))
        self.shelf, self.van = main_shelf(), Place.objects.get(name="Van")
        self.received = Counter()

    def some_parts(self) -> list[Part]:
        return self.chosen.sample(self.parts, 6)

    def quote(self) -> None:
        terms = QuoteTerms(from_place=self.shelf, revise=True)
        at = {"made_at": NOW, "made_on": TODAY, "made_by": self.examination.technician}
        quote_make(examination=self.examination, terms=terms, **at)

    def withdraw(self) -> None:
        by = self.examination.technician
        for quote in self.examination.quotes.filter(status="offered"):
            quote_withdraw(quote=quote, reason="", decided_at=NOW, decided_by=by)

    def top_up(self) -> None:
        for quote in self.examination.quotes.filter(status="offered"):
            at = {"topped_up_at": NOW, "topped_up_by": self.examination.technician}
            quote_top_up(quote=quote, from_place=self.shelf, **at)

    def give(self) -> None:
        quotes = list(Quote.objects.filter(status="offered").order_by("pk"))
        if len(quotes) > 1:
            giver, taker = self.chosen.sample(quotes, 2)
            given = [Given(part, Decimal(1)) for part in self.some_parts()[:1]]
            by = {"given_at": NOW, "given_by": self.examination.technician}
            quote_parts_give(quote=giver, to_quote=taker, given=given, **by)

    def receive(self) -> None:
        parts = self.some_parts()
        lines = [ReceivedLine(part, Decimal(2), Decimal("1.41")) for part in parts]
        goods_receive(lines=lines, place=self.shelf, posted=self.posted)
        self.received.update({part.code: 2 for part in parts})

    def transfer(self) -> None:
        places = {"from_place": self.shelf, "to_place": self.van}
        if self.chosen.random() < 0.5:
            places = {"from_place": self.van, "to_place": self.shelf}
        quantities = {part.pk: Decimal(1) for part in self.some_parts()}
        stock_transfer(quantities=quantities, posted=self.posted, **places)

    def scrap(self) -> None:
        quantities = {part.pk: Decimal(1) for part in self.some_parts()[:2]}
        stock_scrap(quantities=quantities, from_place=self.van, posted=self.posted)

    def count(self) -> None:
        counted = {part.pk: Decimal(self.chosen.randint(0, 30)) for part in self.some_parts()}
        stock_count(counted=counted, place=self.shelf, posted=self.posted)

    def act(self) -> str:
        quoting = self.chosen.choice(
            [self.quote, self.quote, self.withdraw, self.top_up, self.give]
        )
        moving = [self.receive, self.transfer, self.scrap, self.count]
        try:
            self.chosen.choice([quoting, quoting, quoting, *moving])()
        except Refused as refusal:
            return refusal.code
        except Error as error:
            return f"{getattr(error.__cause__, 'sqlstate', None)} {error}"
        return "done"


def work(number: int, actions: int) -> str:
    worker = Worker(number)
    outcomes = Counter(worker.act() for _ in range(actions))
    return json.dumps({"outcomes": outcomes, "received": worker.received})


if __name__ == "__main__":
    processes, actions = map(int, sys.argv[1:])
    with ProcessPoolExecutor(processes, mp_context=get_context("fork")) as pool:
        for line in pool.map(work, range(processes), [actions] * processes):
            sys.stdout.write(line + "\n")
