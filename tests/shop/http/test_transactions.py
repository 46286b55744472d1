"""One transaction around each unsafe request, tried again when another was in its way."""

import pytest
from django.db import OperationalError, close_old_connections, connection
from django.test.utils import CaptureQueriesContext

from shop.http.transactions import TRIES, in_transaction
from shop.models import Client, Role, Supplier
from tests.callers import caller_with
from tests.shop.http.answers import problem


def raise_in_the_database(state):
    with connection.cursor() as cursor:
        cursor.execute(f"DO $$ BEGIN RAISE EXCEPTION 'probe' USING ERRCODE = '{state}'; END $$")


def work_that_meets(states):
    """Return work that stores a client, and meets one of `states` each time until none is left."""
    left = list(states)

    def work():
        Client.objects.create(kind="person", name=f"with {len(left)} left")
        if left:
            raise_in_the_database(left.pop())
        return "done"

    return work


# Serialization failure and deadlock: PostgreSQL documentation 13.5 and appendix A.
@pytest.mark.parametrize("state", ["40001", "40P01"])
def test_work_is_done_again_and_stored_once(committed_database, state):
    assert in_transaction(work_that_meets([state] * (TRIES - 1))) == "done"
    assert [client.name for client in Client.objects.all()] == ["with 0 left"]


@pytest.mark.parametrize(("state", "tries"), [("40001", TRIES), ("55P03", 1), ("57P01", 1)])
def test_work_is_given_up_with_nothing_stored(committed_database, state, tries):
    work = work_that_meets([state] * 10)

    with pytest.raises(OperationalError), CaptureQueriesContext(connection) as statements:
        in_transaction(work)

    assert sum("RAISE" in query["sql"] for query in statements) == tries
    assert not Client.objects.exists()


def test_inside_another_transaction_nothing_is_tried_again(db):
    with pytest.raises(OperationalError), CaptureQueriesContext(connection) as statements:
        in_transaction(work_that_meets(["40001"]))

    assert sum("RAISE" in query["sql"] for query in statements) == 1


def test_a_refusal_undoes_what_was_done_before_it(owner):
    supplier = Supplier.objects.create(name="Felt", notes="as it was")

    problem(owner("POST", f"/suppliers/{supplier.pk}/refuse"), 409, "probe-refused")

    supplier.refresh_from_db()
    assert supplier.notes == "as it was"


def test_a_server_that_is_gone_is_503_and_the_next_request_is_served(committed_database):
    owner = caller_with(Role.OWNER)
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_backend_pid()")
        pid = cursor.fetchone()[0]
    with connection._nodb_cursor() as cursor:
        cursor.execute("SELECT pg_terminate_backend(%s, 5000)", [pid])

    problem(owner("GET", "/suppliers"), 503, "database-unavailable")
    close_old_connections()  # as a server does between requests
    assert owner("GET", "/suppliers").status_code == 200


def statements_of(request):
    with CaptureQueriesContext(connection) as statements:
        response = request()
    return response, [query["sql"] for query in statements]


def test_a_read_costs_one_statement_for_the_person_and_opens_no_transaction(committed_database):
    owner = caller_with(Role.OWNER)

    response, statements = statements_of(lambda: owner("GET", "/users"))

    assert response.status_code == 200
    assert len(statements) == 2, statements


def test_a_key_costs_four_statements(committed_database):
    owner = caller_with(Role.OWNER)

    _, plain = statements_of(lambda: owner("POST", "/suppliers", '{"name": "a"}'))
    _, keyed = statements_of(
        lambda: owner("POST", "/suppliers", '{"name": "b"}', Idempotency_Key="k")
    )
    replayed, again = statements_of(
        lambda: owner("POST", "/suppliers", '{"name": "b"}', Idempotency_Key="k")
    )

    assert replayed.status_code == 201
    assert len(keyed) - len(plain) == 4
    assert len(again) == 1 + 2 + 4  # the person, BEGIN and COMMIT, and those of the key
