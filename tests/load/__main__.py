"""Measure what storing a quote and a large diagnosis cost: `python -m tests.load`.

In one run and by turns, so that whatever else the machine does falls on both alike: the least that
could do, five set-based statements on plain tables; and the write of a quote with the same number
of parts, through every guard of the ledger. Then the whole request. Then the diagnosis of a large
examination, and an invoice as PDF. Each in a database of its own, which is dropped at the end.
"""

import argparse
import statistics
import sys
from contextlib import closing

import psycopg

from tests.load.database import in_databases_of_their_own, tell, timed_ms

WARM_UP = 20


def arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(
        prog="python -m tests.load",
        description="Measure what storing a quote costs, beside the least it could.",
    )
    parser.add_argument("--rounds", type=int, default=200, help="quotes of each kind (200)")
    parser.add_argument("--parts", type=int, default=12, help="parts in each quote (12)")
    parser.add_argument("--requests", type=int, default=100, help="whole requests (100)")
    parser.add_argument("--diagnoses", type=int, default=20, help="large diagnoses (20)")
    parser.add_argument("--invoices", type=int, default=20, help="invoices of each length (20)")
    return parser.parse_args()


def measure(options: argparse.Namespace) -> None:
    from tests.databases import url
    from tests.load.plain import PlainQuotes
    from tests.load.quotes import ShopQuotes
    from tests.load.shaped import ShapedQuotes

    tell("Filling the shop ...")
    shop = ShopQuotes(options.parts)
    to_store = [shop.examination() for _ in range(WARM_UP + options.rounds)]
    to_post = [shop.examination() for _ in range(WARM_UP + options.requests)]
    least_ms, shaped_ms, stored_ms = [], [], []
    with closing(psycopg.connect(url("owner"), autocommit=True)) as connection:
        plain = PlainQuotes(connection, options.parts)
        shaped = ShapedQuotes(connection, shop)
        for done, examination in enumerate(to_store, start=1):
            least_ms.append(timed_ms(plain.store))
            stored_ms.append(timed_ms(shop.store, examination))
            bag_id = examination.quotes.get().bag_id
            shaped_ms.append(timed_ms(shaped.store, examination, bag_id))
            if done % 50 == 0:
                tell(f"{done} of {len(to_store)} quotes stored")
    tell(f"Sending {len(to_post)} requests ...")
    posted_ms = [timed_ms(shop.post, examination) for examination in to_post]
    every = (least_ms, shaped_ms, stored_ms, posted_ms)
    report(options.parts, *(times[WARM_UP:] for times in every))


def measure_diagnosis(rounds: int) -> None:
    from tests.load.diagnoses import measured_diagnosis

    tell(f"Making {rounds} diagnoses ...")
    diagnosis_ms, statements = measured_diagnosis(rounds)
    print("A diagnosis of 88 bad notes, 200 findings and 60 results, with its answer:")
    print(f"  processor time              {diagnosis_ms:7.2f} ms   {statements} statements")


def measure_invoices(rounds: int) -> None:
    from tests.load.invoices import measured_invoice

    tell("Printing invoices ...")
    print("An issued invoice as PDF (Factur-X), read and set:")
    for lines in (12, 100):
        first_ms, often_ms = measured_invoice(lines, rounds)
        print(f"  {lines:3} lines   {often_ms:7.2f} ms   {first_ms:.0f} ms the first time")


def report(parts: int, *times_ms: list[float]) -> None:
    least, shaped, stored, posted = map(statistics.median, times_ms)
    rate = 1000 / statistics.fmean(times_ms[-1])
    print(f"A quote of {parts} parts, one client, medians of {len(times_ms[0])}:")
    print(f"  five set-based statements   {least:7.2f} ms")
    print(f"  the same, in full rows      {shaped:7.2f} ms   with keys and checks")
    print(
        f"  the quote's write           {stored:7.2f} ms   {stored / shaped:.2f} times the full"
        f" rows, {stored / least:.2f} times the plain"
    )
    print(f"  the whole request           {posted:7.2f} ms   {rate:.0f}/s")


if __name__ == "__main__":
    options = arguments()
    sys.exit(
        in_databases_of_their_own(
            lambda _: measure(options),
            lambda _: measure_diagnosis(options.diagnoses),
            lambda _: measure_invoices(options.invoices),
        )
    )
