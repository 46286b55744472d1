"""What the schema refuses reaches the caller under the rule's own code and sentence."""

import json

import pytest
from django.db import DataError, connection, transaction

from shop.http.database_problems import database_problem
from shop.http.database_rules import DatabaseRule, database_rules
from shop.models import Client, Role, Site, Supplier
from tests.callers import caller_with
from tests.shop.http.answers import pointers, problem


def test_a_broken_check_answers_with_its_code_and_sentence(owner):
    response = owner("POST", "/suppliers", '{"name": ""}')

    assert problem(response, 409, "name-missing")["detail"] == "A supplier needs a name."


def test_a_rule_broken_deeper_inside_answers_so_too_and_nothing_stays(owner):
    response = owner("POST", "/clients/fail", '{"how": "rule"}')

    problem(response, 409, "kind-unknown")
    assert not Client.objects.exists()


def test_guards_are_rules_too():
    assert database_rules()["shop_move_append_only"] == DatabaseRule(
        "shop_move_append_only",
        "append-only",
        "Stock moves are never changed or removed; add a correcting one.",
    )


def test_a_name_that_is_taken_is_said_to_be(owner):
    Supplier.objects.create(name="Felt")

    response = owner("POST", "/suppliers", '{"name": "Felt"}')

    document = problem(response, 409, "already-exists")
    assert document["detail"] == "There is already a supplier with this name."


@pytest.mark.parametrize("plain_sql", ["", "yes"])
def test_what_is_referred_to_cannot_be_removed(committed_database, plain_sql):
    owner = caller_with(Role.OWNER)
    client = Client.objects.create(kind="person", name="Ada")
    Site.objects.create(client=client, name="Home")
    path = f"/removable-clients/{client.pk}"
    tag = owner("GET", f"/clients/{client.pk}")["ETag"]

    problem(owner("DELETE", path, If_Match=tag, X_Probe_Plain_Sql=plain_sql), 409, "in-use")
    Site.objects.all().delete()
    assert owner("DELETE", path, If_Match=tag, X_Probe_Plain_Sql=plain_sql).status_code == 204


def test_an_error_at_the_commit_is_answered_like_any_other(committed_database):
    owner = caller_with(Role.OWNER)

    response = owner("POST", "/clients/fail", '{"how": "deferred"}')

    problem(response, 409, "reference-missing")
    assert not Site.objects.exists()
    assert not Client.objects.exists()


def test_a_number_beyond_the_column_is_invalid_input(owner):
    response = owner("POST", "/clients/fail", '{"how": "overflow"}')

    assert problem(response, 400, "invalid-input")["detail"].startswith("A value is too long")


def test_text_that_the_driver_will_not_send_is_invalid_input(db):
    with pytest.raises((DataError, ValueError)) as caught, transaction.atomic():
        Client.objects.create(kind="person", name="a\0b")

    assert database_problem(caught.value).code == "invalid-input"


def test_a_fault_of_the_program_is_no_problem_of_the_callers(db):
    with pytest.raises(DataError) as caught, transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("SELECT 1 / 0")

    assert database_problem(caught.value) is None


def test_what_a_model_refuses_before_the_database_is_pointed_at(owner):
    response = owner("POST", "/clients/fail", json.dumps({"how": "model"}))

    assert pointers(response) == {"/kind": "invalid-choice", "/name": "blank"}
