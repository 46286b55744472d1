"""Entity tags and conditions: RFC 9110 section 13."""

import threading

import pytest
from django.db import connections

from shop.http.conditional import entity_tag
from shop.models import Client, Role, Site, Supplier
from tests.callers import Caller, caller_with
from tests.shop.http.answers import pointers, problem


@pytest.fixture
def felt(db):
    return Supplier.objects.create(name="Felt")


def path_of(supplier):
    return f"/suppliers/{supplier.pk}"


def change(caller, supplier, body='{"name": "Cloth"}', **headers):
    return caller("PATCH", path_of(supplier), body, **headers)


def tag_of(caller, supplier):
    return caller("GET", path_of(supplier))["ETag"]


def test_a_new_row_is_where_it_is_said_to_be_with_the_same_body_and_tag(owner):
    made = owner("POST", "/suppliers", '{"name": "Felt"}')  # RFC 9110 section 15.3.2

    read = owner("GET", made["Location"])
    assert (read.content, read["ETag"]) == (made.content, made["ETag"])


def test_what_is_known_already_is_not_sent_again(owner, felt):
    tag = tag_of(owner, felt)

    for header in (tag, f"W/{tag}", f'"other", {tag}', "*"):  # section 13.1.2: weak comparison
        known = owner("GET", path_of(felt), If_None_Match=header)
        assert (known.status_code, known.content) == (304, b"")
        assert known["ETag"] == tag
        assert "Accept" in known["Vary"]
    assert owner("HEAD", path_of(felt), If_None_Match=tag).status_code == 304
    assert owner("GET", path_of(felt), If_None_Match='"other"').status_code == 200


def test_a_change_gives_another_tag(owner, felt):
    before = tag_of(owner, felt)

    changed = change(owner, felt, If_Match=before)

    assert changed.status_code == 200
    assert changed["ETag"] == tag_of(owner, felt) != before


def test_an_equal_representation_has_an_equal_tag_and_another_another():
    assert entity_tag({"a": 1}) == entity_tag({"a": 1})
    assert entity_tag({"a": 1}) != entity_tag({"a": "1"})


@pytest.mark.parametrize("method", ["PATCH", "DELETE"])
def test_a_change_without_if_match_is_refused(owner, felt, method):
    body = '{"name": "Cloth"}' if method == "PATCH" else None

    problem(owner(method, path_of(felt), body), 428, "precondition-required")  # RFC 6585 section 3
    felt.refresh_from_db()
    assert felt.name == "Felt"


@pytest.mark.parametrize("header", ['"other"', "nonsense", "W/{tag}", ""])
def test_a_tag_that_does_not_match_strongly_is_refused(owner, felt, header):
    tag = tag_of(owner, felt)

    response = change(owner, felt, If_Match=header.format(tag=tag))  # section 13.1.1

    problem(response, 412, "precondition-failed")
    felt.refresh_from_db()
    assert felt.name == "Felt"


@pytest.mark.parametrize("header", ["{tag}", '"other", {tag}', "*"])
def test_one_tag_that_matches_is_enough(owner, felt, header):
    tag = tag_of(owner, felt)

    assert change(owner, felt, If_Match=header.format(tag=tag)).status_code == 200


def test_a_tag_is_good_for_one_change(owner, felt):
    tag = tag_of(owner, felt)
    change(owner, felt, If_Match=tag)

    problem(change(owner, felt, '{"name": "Wire"}', If_Match=tag), 412, "precondition-failed")


def test_a_row_is_removed_once(owner, felt):
    tag = tag_of(owner, felt)

    removed = owner("DELETE", path_of(felt), If_Match=tag)

    assert (removed.status_code, removed.content) == (204, b"")
    problem(owner("DELETE", path_of(felt), If_Match=tag), 404, "not-found")


def test_what_is_wrong_without_the_condition_is_said_first(owner, technician, nobody, felt):
    # RFC 9110 section 13.2.1: conditions count only where the answer would else be a success.
    problem(owner("PATCH", "/suppliers/0", "{}", If_Match='"x"'), 404, "not-found")
    problem(change(nobody, felt, If_Match='"x"'), 401, "not-authenticated")
    problem(change(technician, felt, If_Match='"x"'), 403, "forbidden")
    assert pointers(change(owner, felt, '{"name": 1}', If_Match='"x"')) == {"/name": "invalid"}
    problem(owner("GET", "/suppliers/0", If_None_Match="*"), 404, "not-found")


def test_of_two_conditions_on_a_read_if_match_is_looked_at_first(owner, felt):
    tag = tag_of(owner, felt)

    both = owner("GET", path_of(felt), If_Match='"other"', If_None_Match=tag)  # section 13.2.2
    problem(both, 412, "precondition-failed")
    assert owner("GET", path_of(felt), If_Match=tag).status_code == 200


def test_a_patch_changes_only_what_it_names(owner, felt):
    change(owner, felt, '{"notes": "slow"}', If_Match="*")

    felt.refresh_from_db()
    assert (felt.name, felt.notes) == ("Felt", "slow")


def test_rows_out_of_sight_are_not_found_and_not_changed(owner):
    ours, theirs = (Client.objects.create(kind="person", name=name) for name in ("A", "B"))
    site = Site.objects.create(client=theirs, name="Home")
    path = f"/clients/{ours.pk}/sites/{site.pk}"

    problem(owner("GET", path), 404, "not-found")
    problem(owner("PATCH", path, '{"name": "Mine"}', If_Match="*"), 404, "not-found")


def test_of_many_changes_with_one_tag_one_is_made(committed_database):
    supplier = Supplier.objects.create(name="Felt")
    user = caller_with(Role.OWNER).user
    callers = [Caller(user) for _ in range(8)]
    tag = tag_of(callers[0], supplier)
    statuses = []

    def run(index):
        body = f'{{"name": "name {index}"}}'
        statuses.append(change(callers[index], supplier, body, If_Match=tag).status_code)
        connections.close_all()

    threads = [threading.Thread(target=run, args=[index]) for index in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert sorted(statuses) == [200] + [412] * 7
