import time

from django.db import connection

from billing.models import BagLine, Quote, QuoteLine, QuoteTax
from shop.models import Level, Move, MoveReason, Place, PlaceKind
from tests.billing.conftest import ON_SHELF, make_workshop
from tests.callers import Caller
from tests.factories.world import main_shelf
from tests.together import run_program


def parts_of_a_quote():
    """Return how much there is of everything that a quote leaves behind."""
    bags = Place.objects.filter(kind=PlaceKind.BAG)
    moves = Move.objects.filter(reason=MoveReason.BAGGED)
    rows = [Quote.objects, QuoteLine.objects, QuoteTax.objects, BagLine.objects, bags, moves]
    return [row.count() for row in rows]


def on_shelf():
    return list(Level.objects.filter(place=main_shelf()).values_list("quantity", flat=True))


def other_backends():
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT count(*) FROM pg_stat_activity"
            " WHERE datname = current_database() AND pid <> pg_backend_pid()"
        )
        return cursor.fetchone()[0]


def await_backends(number):
    deadline = time.monotonic() + 5
    while other_backends() > number and time.monotonic() < deadline:
        time.sleep(0.05)
    assert other_backends() == number


def test_a_process_killed_after_any_statement_of_a_quote_leaves_no_part_of_it(
    committed_database, database_environment
):
    workshop = make_workshop()
    workshop.find(range(60, 64))
    before, backends = (parts_of_a_quote(), on_shelf()), other_backends()
    assert before == ([0] * 6, [ON_SHELF] * 4)

    killed = run_program(
        "tests.billing.crash", workshop.examination.pk, environment=database_environment
    )

    # At least the bag, the moves, the quote and its three tables of lines are statements.
    assert int(killed) > 6
    await_backends(backends)
    assert (parts_of_a_quote(), on_shelf()) == before
    # Nothing is locked any more: whoever asks again gets the quote.
    answer = Caller(workshop.examination.technician).post(
        f"/examinations/{workshop.examination.pk}/quote"
    )
    assert answer.status_code == 201
    assert all(parts_of_a_quote())
