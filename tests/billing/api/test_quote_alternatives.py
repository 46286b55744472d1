"""Two plans offered beside each other, of which the client approves one."""

import pytest

from billing.models import Quote
from shop.models import Place
from tests.billing.api.test_quotes import at, quoted, refused
from tests.billing.conftest import make_damp, make_workshop
from tests.callers import Caller, caller_with
from tests.factories.world import main_shelf
from tests.together import at_once

APPROVED = {"approved_by": "H. Wick"}


@pytest.fixture
def two(technician, damp):
    """Repairing now, and treating the room first."""
    damp.find(range(40, 52))
    now = quoted(technician, damp)
    return now, quoted(technician, damp, plan="room_first", alternative=True)


def status_of(quote):
    return Quote.objects.get(pk=quote["id"]).status


def test_each_plan_has_a_bag_and_versions_of_its_own(technician, damp, two):
    now, room_first = two
    path = f"/examinations/{damp.examination.pk}/quote"
    assert (now["plan"], room_first["plan"]) == ("now", "room_first")
    assert at(Place.objects.get(pk=now["bag"])).keys() == {
        "pin-20",
        "pin-20-5",
        "pin-21",
        "pin-21-5",
    }
    assert at(Place.objects.get(pk=room_first["bag"])) == {"hygrometer": 1}
    for body in ({}, {"alternative": True}, {"plan": "room_first", "alternative": True}):
        refused(technician.post(path, body), 409, "already-quoted")
    again = quoted(technician, damp, plan="room_first", revise=True)
    assert (again["version"], again["supersedes"]) == (2, room_first["id"])
    assert status_of(now) == "offered"


def test_approving_one_withdraws_the_other_and_returns_its_parts(technician, damp, two):
    now, room_first = two
    answer = technician.post(f"/quotes/{room_first['id']}/approve", APPROVED)
    assert answer.json()["status"] == "approved"
    withdrawn = technician.get(f"/quotes/{now['id']}").json()
    assert withdrawn["status"] == "withdrawn"
    assert withdrawn["decision_reason"] == f"Quote {room_first['id']} was approved instead."
    assert set(at(Place.objects.get(pk=now["bag"])).values()) == {0}
    assert at(main_shelf()) == dict.fromkeys(at(main_shelf()), 20) | {"hygrometer": 4}
    refused(technician.post(f"/quotes/{now['id']}/approve", APPROVED), 409, "quote-not-open")
    path = f"/examinations/{damp.examination.pk}/quote"
    refused(technician.post(path, {"alternative": True}), 409, "already-quoted")


def test_declining_one_leaves_the_other(technician, damp, two):
    now, room_first = two
    technician.post(f"/quotes/{now['id']}/decline")
    assert (status_of(now), status_of(room_first)) == ("declined", "offered")


def test_of_two_approvals_at_once_one_is_refused(committed_database):
    user = caller_with("technician").user
    damp = make_damp(make_workshop())
    damp.find(range(40, 52))
    now = quoted(Caller(user), damp)
    room_first = quoted(Caller(user), damp, plan="room_first", alternative=True)
    callers = [Caller(user), Caller(user)]
    paths = [f"/quotes/{each['id']}/approve" for each in (now, room_first)]

    answers = at_once(2, lambda index: callers[index].post(paths[index], APPROVED))

    assert sorted(answer.status_code for answer in answers) == [200, 409]
    assert {status_of(now), status_of(room_first)} == {"approved", "withdrawn"}
