"""Quotes that treat the room first, and the follow-ups that they make due."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from billing.models import FollowUp, Quote
from diagnostics.models import Cause, Finding, Remedy
from shop.models import ShopProfile
from tests.billing.api.test_quotes import quoted, refused
from tests.factories.billing import FollowUpFactory
from tests.factories.diagnostics import ExaminationFactory, FindingFactory
from tests.factories.world import FAR_DAY


@pytest.fixture
def debris(damp):
    """Thirty notes slow in a damp room, and a coin under one of them."""
    damp.find(range(40, 70))
    damp.find([80], cause=Cause.objects.get(code="debris"))
    return damp


def days_from_now(days):
    return (timezone.localdate() + timedelta(days=days)).isoformat()


def follow_up(caller, path, status=200):
    response = caller.get(path)
    assert response.status_code == status, response.content
    return response.json()


def moved(caller, path, due_on):
    tag = caller.get(path)["ETag"]
    return caller("PATCH", path, f'{{"due_on": "{due_on}"}}', If_Match=tag)


def test_the_room_and_what_cannot_wait_are_quoted(technician, debris):
    quote = quoted(technician, debris, plan="room_first")
    assert {line["remedy"] for line in quote["lines"] if line["remedy"]} == {
        "room-first",
        "remove-debris",
    }
    assert {line["part"]: line["wanted_quantity"] for line in quote["bag_lines"]} == {
        "hygrometer": "1"
    }
    assert [finding["note"] for finding in quote["diagnosis"]["findings"]] == ["G#5"]
    assert len(quote["diagnosis"]["waiting"]) == 30
    assert quote["plan"] == "room_first"
    # Two weeks: common practice, and the shop's setting.
    assert quote["follow_up_due_on"] == days_from_now(14)


def test_repairing_now_leaves_nothing_waiting_and_makes_no_follow_up_due(technician, debris):
    quote = quoted(technician, debris)
    assert quote["diagnosis"]["waiting"] == []
    assert (quote["plan"], quote["follow_up"], quote["follow_up_due_on"]) == ("now", None, None)
    assert not FollowUp.objects.exists()


def test_treating_the_room_alone_can_be_quoted(technician, damp):
    damp.find(range(40, 70))
    quote = quoted(technician, damp, plan="room_first")
    # 15 minutes at 60.00 an hour, a hygrometer, travel.
    assert Decimal(quote["net_total"]) == 15 + 28 + 25


def test_the_price_of_the_first_visit_is_what_the_plan_said(technician, debris):
    planned = follow_up(technician, f"/examinations/{debris.examination.pk}/plans")
    quote = quoted(technician, debris, plan="room_first")
    # The quote rounds hours to hundredths.
    assert Decimal(planned["room_first"]["first_visit_net_expected"]) == pytest.approx(
        Decimal(quote["net_total"]), abs=Decimal("0.60")
    )


def test_the_remedy_that_treats_the_room_can_be_named(technician, damp):
    damp.find(range(40, 70))
    path = f"/examinations/{damp.examination.pk}/quote"
    unknown = technician.post(path, {"plan": "room_first", "room_remedy": "repin-hammer"})
    refused(unknown, 409, "room-remedy-unknown")
    quote = quoted(technician, damp, plan="room_first", room_remedy="room-first")
    assert quote["plan"] == "room_first"


def test_a_room_that_cures_nothing_is_not_quoted(technician, damp):
    damp.find(range(40, 70), cause=Cause.objects.get(code="debris"))
    path = f"/examinations/{damp.examination.pk}/quote"
    refused(technician.post(path, {"plan": "room_first"}), 409, "room-first-no-plan")
    assert not Quote.objects.exists()
    assert quoted(technician, damp, plan="now")["plan"] == "now"


def test_undecided_findings_are_named_in_either_plan(technician, damp):
    damp.find([60])
    damp.find([61], cause=None)
    undecided = Finding.objects.get(note_midi=61)
    path = f"/examinations/{damp.examination.pk}/quote"
    problem = refused(technician.post(path, {"plan": "room_first"}), 409, "findings-undecided")
    assert [error["pointer"] for error in problem["errors"]] == [f"/findings/{undecided.pk}/remedy"]


def test_follow_ups_are_listed_by_where_they_stand(technician, damp):
    damp.find(range(40, 70))
    quote = quoted(technician, damp, plan="room_first")
    found = follow_up(technician, f"/follow-ups/{quote['follow_up']}")
    assert found == {
        "id": quote["follow_up"],
        "quote": quote["id"],
        "examination": damp.examination.pk,
        "instrument": damp.examination.instrument_id,
        "client": quote["client"],
        "due_on": days_from_now(14),
        "state": "due",
        "done_by": None,
        "settled_readings": 0,
        "warning": "Measure first: not yet 2 readings in a row are in range.",
    }
    for query, count in (
        ("state=due", 1),
        ("state=overdue", 0),
        ("state=due&state=overdue", 1),
        (f"due_on_before={days_from_now(13)}", 0),
        (f"due_on_after={days_from_now(14)}", 1),
        (f"quote={quote['id']}", 1),
        (f"instrument={damp.examination.instrument_id}&client={quote['client']}", 1),
        (f"examination={damp.examination.pk + 1}", 0),
    ):
        items = follow_up(technician, f"/follow-ups?{query}")["items"]
        assert len(items) == count, query
    response = technician.get("/follow-ups?state=late")
    refused(response, 400, "invalid-query")


def test_a_follow_up_whose_day_has_passed_is_overdue(technician):
    made_at = datetime(2020, 1, 1, 9, tzinfo=UTC)
    late = FollowUpFactory(quote__made_at=made_at, due_on=date(2020, 1, 15))
    due = FollowUpFactory(quote__made_at=made_at, due_on=FAR_DAY)
    for state, expected in (("overdue", late), ("due", due)):
        items = follow_up(technician, f"/follow-ups?state={state}")["items"]
        assert [item["id"] for item in items] == [expected.pk]


def test_a_follow_up_is_done_by_the_examination_that_follows_and_compared(technician, damp):
    damp.find(range(40, 70))
    quote = quoted(technician, damp, plan="room_first")
    again = ExaminationFactory(
        instrument=damp.examination.instrument,
        follows=damp.examination,
        room_was_treated=True,
        examined_at=timezone.now() + timedelta(days=15),
    )
    for note in (40, 41):
        FindingFactory(examination=again, note_midi=note, fault=damp.fault, cause=damp.cause)
    found = follow_up(technician, f"/follow-ups/{quote['follow_up']}")
    assert (found["state"], found["done_by"], found["warning"]) == ("done", again.pk, None)
    compared = follow_up(technician, f"/examinations/{found['done_by']}/comparison")
    assert (compared["counts"]["cured"], compared["counts"]["unchanged"]) == (28, 2)


def test_an_examination_before_the_quote_does_no_follow_up(technician, damp):
    damp.find(range(40, 70))
    ExaminationFactory(
        instrument=damp.examination.instrument,
        follows=damp.examination,
        examined_at=damp.examination.examined_at + timedelta(hours=1),
    )
    quote = quoted(technician, damp, plan="room_first")
    assert follow_up(technician, f"/follow-ups/{quote['follow_up']}")["state"] == "due"


def test_a_follow_up_is_dropped_with_its_quote_and_due_anew_with_the_next(technician, damp):
    damp.find(range(40, 70))
    first = quoted(technician, damp, plan="room_first")
    second = quoted(technician, damp, plan="room_first", revise=True)
    assert follow_up(technician, f"/follow-ups/{first['follow_up']}")["state"] == "dropped"
    assert follow_up(technician, f"/follow-ups/{second['follow_up']}")["state"] == "due"


def test_another_day_can_be_agreed_but_none_within_a_week(technician, damp):
    damp.find(range(40, 70))
    quote = quoted(technician, damp, plan="room_first")
    path = f"/follow-ups/{quote['follow_up']}"
    problem = refused(moved(technician, path, days_from_now(5)), 400, "invalid-input")
    assert problem["errors"][0]["code"] == "follow-up-too-soon"
    assert moved(technician, path, days_from_now(21)).json()["due_on"] == days_from_now(21)


def test_the_room_settles_from_the_approval_on(technician, damp):
    damp.find(range(40, 70))
    ShopProfile.objects.update(settle_days=28)
    quote = quoted(technician, damp, plan="room_first")
    FollowUp.objects.update(due_on=timezone.localdate() + timedelta(days=20))
    technician.post(f"/quotes/{quote['id']}/approve", {"approved_by": "R. Ames"})
    path = f"/follow-ups/{quote['follow_up']}"
    assert follow_up(technician, path)["due_on"] == days_from_now(28)


def test_treating_the_room_at_the_bench_is_no_work_on_the_notes_it_cures(technician, damp):
    damp.find(range(40, 70))
    quote = quoted(technician, damp, plan="room_first", approve=True)
    treated = technician.post(
        f"/quotes/{quote['id']}/bench-work",
        {"remedy": "room-first", "minutes": "15", "result": "cured"},
    )
    assert treated.status_code == 201, treated.content
    ExaminationFactory(
        instrument=damp.examination.instrument,
        follows=damp.examination,
        room_was_treated=True,
        examined_at=timezone.now() + timedelta(days=15),
    )
    assert follow_up(technician, "/cure-report")["items"] == [
        {"fault": "slow-return", "cause": "tight-flange", "followed": 30, "cured": 30}
    ]
    assert Remedy.objects.get(code="room-first").treats_room
