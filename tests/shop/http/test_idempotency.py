"""The header Idempotency-Key: IETF draft-ietf-httpapi-idempotency-key-header."""

import threading
from datetime import timedelta

import pytest
from django.db import IntegrityError, connection, connections, transaction
from django.utils import timezone

from shop.http.idempotency import answers_forget, kept_since
from shop.models import Client, Role, Supplier
from shop.models.answers import FirstAnswer
from tests.callers import Caller, caller_with
from tests.shop.http.answers import pointers, problem

FELT = '{"name": "Felt"}'


def post(caller, body=FELT, key='"key-1"', path="/suppliers", **headers):
    return caller("POST", path, body, Idempotency_Key=key, **headers)


def test_the_same_request_gets_the_first_answer_and_one_effect(owner):
    first, again = post(owner), post(owner)

    assert first.status_code == again.status_code == 201
    assert first.content == again.content
    for header in ("Location", "ETag", "Content-Type", "Cache-Control", "Vary"):
        assert first[header] == again[header]
    assert Supplier.objects.count() == 1


def test_without_a_key_each_request_stands_for_itself(owner):
    owner("POST", "/suppliers", FELT)

    problem(owner("POST", "/suppliers", FELT), 409, "already-exists")
    assert not FirstAnswer.objects.exists()


@pytest.mark.parametrize("other", ['{"name": "Cloth"}', '{"name":  "Felt"}'])
def test_the_key_is_good_for_no_other_body_byte_by_byte(owner, other):
    post(owner)

    problem(post(owner, other), 422, "idempotency-key-reused")
    assert Supplier.objects.get().name == "Felt"


def test_the_key_is_good_for_no_other_query_or_media_type(owner):
    body = "kind,name\nperson,Ada\n"
    owner("POST", "/clients/add", body, "text/csv", Idempotency_Key="k")

    response = owner("POST", "/clients/add", body, "text/csv; charset=utf-8", Idempotency_Key="k")

    problem(response, 422, "idempotency-key-reused")
    response = owner("POST", "/clients/add?x=1", body, "text/csv", Idempotency_Key="k")
    problem(response, 400, "invalid-query")


def test_another_person_or_address_may_use_the_same_key(owner, office):
    post(owner)

    assert post(office, '{"name": "Cloth"}').status_code == 201
    assert post(owner, '{"a": 1}', path="/clients/small").status_code == 200
    assert FirstAnswer.objects.count() == 3


def test_a_slash_at_the_end_is_the_same_address(owner):
    first = post(owner)

    assert post(owner, path="/suppliers/").content == first.content


def test_quotes_are_optional(owner):
    first = post(owner, key='"8e03978e-40d5-43dd-bc93-6894a57f9324"')  # the draft's own example

    assert post(owner, key="8e03978e-40d5-43dd-bc93-6894a57f9324").content == first.content
    assert FirstAnswer.objects.get().key == "8e03978e-40d5-43dd-bc93-6894a57f9324"


@pytest.mark.parametrize(
    "key", ["", '""', "a b", '"a b"', '"open', "ü", "x" * 256, f'"{"x" * 256}"', '"a"; p=1']
)
def test_a_key_of_other_than_1_to_255_visible_characters_is_refused(owner, key):
    problem(post(owner, key=key), 400, "invalid-idempotency-key")
    assert not Supplier.objects.exists()


@pytest.mark.parametrize("key", ["!", "x" * 255, f'"{"x" * 255}"', r'"say\"so\""'])
def test_a_key_within_the_bounds_is_taken(owner, key):
    assert post(owner, key=key).status_code == 201


def test_a_refusal_is_given_again_though_the_reason_has_gone(owner):
    felt = Supplier.objects.create(name="Felt")
    first = post(owner)
    felt.delete()

    again = post(owner)

    problem(first, 409, "already-exists")
    assert again.content == first.content
    problem(again, 409, "already-exists")
    assert not Supplier.objects.exists()


def test_invalid_input_is_given_again_too(owner):
    assert pointers(post(owner, "{}")) == pointers(post(owner, "{}")) == {"/name": "required"}
    assert FirstAnswer.objects.get().status == 400


@pytest.mark.parametrize("how", ["too many", "bug", "deadlock", "server gone"])
def test_what_may_turn_out_otherwise_next_time_is_not_kept(owner, how):
    response = post(owner, f'{{"how": "{how}"}}', path="/clients/fail")

    assert response.status_code in {429, 500, 503}
    assert not FirstAnswer.objects.exists()


def test_who_may_not_is_not_kept(technician, nobody):
    problem(post(technician), 403, "forbidden")
    problem(post(nobody), 401, "not-authenticated")
    assert not FirstAnswer.objects.exists()


def test_other_methods_take_no_key(owner):
    supplier = post(owner)

    changed = owner(
        "PATCH",
        supplier["Location"],
        '{"name": "Cloth"}',
        If_Match=supplier["ETag"],
        Idempotency_Key='"key-1"',
    )

    assert changed.json()["name"] == "Cloth"


def test_answers_are_forgotten_after_their_time(owner, settings):
    settings.IDEMPOTENCY_HOURS = 24
    now = timezone.now()
    post(owner, key="old")
    FirstAnswer.objects.update(created_at=now - timedelta(hours=24, seconds=1))
    post(owner, '{"name": "Cloth"}', key="new")

    assert answers_forget(before=kept_since(now)) == 1
    assert FirstAnswer.objects.get().key == "new"
    problem(post(owner, key="old"), 409, "already-exists")


def test_an_error_at_the_commit_takes_the_key_back_and_is_given_again(committed_database):
    owner = caller_with(Role.OWNER)
    body = '{"how": "deferred"}'

    first, again = (post(owner, body, path="/clients/fail") for _ in range(2))

    problem(first, 409, "reference-missing")
    assert again.content == first.content
    assert FirstAnswer.objects.get().status == 409
    assert not Client.objects.exists()


def all_at_once(number, work):
    """Return what `work` returns in each of `number` threads that start together."""
    start, results = threading.Barrier(number), [None] * number

    def run(index):
        start.wait()
        try:
            results[index] = work(index)
        finally:
            connections.close_all()

    threads = [threading.Thread(target=run, args=[index]) for index in range(number)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return results


def test_of_many_at_once_one_has_the_effect_and_all_get_its_answer_or_409(committed_database):
    supplier = Supplier.objects.create(name="Felt", lead_time_days=7)
    user = caller_with(Role.OWNER).user
    callers = [Caller(user) for _ in range(20)]
    path = f"/suppliers/{supplier.pk}/wait"

    answers = all_at_once(20, lambda index: post(callers[index], "{}", path=path))

    supplier.refresh_from_db()
    assert supplier.lead_time_days == 8
    statuses = {answer.status_code for answer in answers}
    assert 200 in statuses
    assert statuses <= {200, 409}
    assert len({answer.content for answer in answers if answer.status_code == 200}) == 1
    for answer in answers:
        if answer.status_code == 409:
            problem(answer, 409, "idempotency-key-in-use")
    assert post(callers[0], "{}", path=path).json()["lead_time_days"] == 8


def test_while_the_first_is_being_worked_on_the_second_is_told_to_wait(committed_database):
    supplier = Supplier.objects.create(name="Felt")
    user = caller_with(Role.OWNER).user
    callers = [Caller(user) for _ in range(2)]
    path = f"/suppliers/{supplier.pk}/wait"

    def work(index):
        return post(callers[index], "{}", path=path, X_Probe_Seconds="1.5")

    answers = sorted(all_at_once(2, work), key=lambda answer: answer.status_code)

    assert answers[0].status_code == 200
    problem(answers[1], 409, "idempotency-key-in-use")
    assert int(answers[1]["Retry-After"]) >= 1


def test_the_wait_for_locks_is_as_it_was_afterwards(committed_database):
    owner = caller_with(Role.OWNER)

    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("SHOW lock_timeout")
        before = cursor.fetchone()
        post(owner)
        cursor.execute("SHOW lock_timeout")
        assert cursor.fetchone() == before != ("200ms",)


def answer_row(user, **values):
    return FirstAnswer(
        **{
            "user": user,
            "method": "POST",
            "path": "/x",
            "key": "k",
            "created_at": timezone.now(),
            **values,
        }
    )


def test_a_key_is_stored_once_per_person_and_address(owner):
    answer_row(owner.user).save()

    with pytest.raises(IntegrityError, match="shop_firstanswer_one_per_key"), transaction.atomic():
        answer_row(owner.user).save()
    answer_row(owner.user, path="/y").save()


def test_a_fault_cannot_be_stored_as_an_answer(owner):
    with pytest.raises(IntegrityError, match="shop_firstanswer_status_kept"):
        answer_row(owner.user, status=500).save()
