"""Many who count one place at once, and moves while a count is settled."""

from decimal import Decimal

import pytest
from django.db import transaction

from shop.actions.counting import count_freeze, count_settle
from shop.actions.stock import Posted, stock_count
from shop.models import CountSheet, Holding, Level, Move, Place, Role
from tests.callers import Caller, caller_with
from tests.factories.counting import CountSheetFactory, CountSheetLineFactory
from tests.factories.shop import PartFactory, PlaceFactory, UserFactory
from tests.factories.world import NOW, main_shelf, stock
from tests.refusals import kept_waiting
from tests.shop.stock_machine import stored_holdings, stored_levels, sums_of_moves
from tests.together import at_once

MANY = 4


@pytest.fixture
def counted(committed_database):
    """A line of an open sheet of a van: ten were expected, seven found."""
    with transaction.atomic():
        part, van = PartFactory(), PlaceFactory()
        stock(part, 10, 1, van)
        sheet = CountSheetFactory(place=van)
        return CountSheetLineFactory(sheet=sheet, part=part, counted_quantity=Decimal(7))


def callers(count=MANY):
    user = caller_with(Role.OFFICE).user
    return [Caller(user) for _ in range(count)]


def said(answer):
    """Return the code of a problem, "done" when there is none."""
    if answer.status_code < 400:
        return "done"
    return answer.json()["type"].rpartition("/")[2]


def settle(caller, line):
    return caller.post(f"/count-sheets/{line.sheet_id}/settle", {"reason": "Quarterly count"})


def take_out(caller, line, quantity):
    lines = [{"part": line.part.code, "quantity": quantity}]
    places = {"from_place": line.sheet.place_id, "to_place": main_shelf().pk}
    return caller.post("/transfers", {**places, "lines": lines})


def left(line):
    assert (stored_levels(), stored_holdings()) == sums_of_moves()
    return Level.objects.get(place=line.sheet.place, part=line.part).quantity


def test_many_who_begin_to_count_a_place_begin_one_sheet(committed_database):
    with transaction.atomic():
        van = PlaceFactory()
        stock(PartFactory(), 10, 1, van)
    everyone = callers()

    answers = at_once(MANY, lambda index: everyone[index].post("/count-sheets", {"place": van.pk}))

    assert sorted(map(said, answers)) == ["done"] + ["place-being-counted"] * (MANY - 1)
    assert CountSheet.objects.get().lines.count() == 1


def test_a_place_is_not_counted_at_once_while_a_sheet_of_it_begins(committed_database):
    with transaction.atomic():
        van, user = PlaceFactory(), UserFactory()
    for count in (
        lambda: count_freeze(place=van, frozen_at=NOW, frozen_by=user),
        lambda: stock_count(counted={}, place=van, posted=Posted(NOW, user)),
    ):
        with transaction.atomic():
            count()
            with kept_waiting("owner"):
                Place.objects.using("owner").select_for_update(no_key=True).get(pk=van.pk)
            transaction.set_rollback(True)


def test_a_count_that_many_settle_is_posted_once(counted):
    everyone = callers()

    answers = at_once(MANY, lambda index: settle(everyone[index], counted))

    assert sorted(map(said, answers)) == ["count-ended"] * (MANY - 1) + ["done"]
    assert Move.objects.filter(reason="counted").count() == 1
    assert left(counted) == 7


def test_what_moves_while_a_count_closes_stays_moved(counted):
    everyone = callers()

    def act(index):
        if index:
            return take_out(everyone[index], counted, "2")
        return settle(everyone[index], counted)

    answers = at_once(MANY, act)

    # Ten, three of which were not found, and three times two were taken out.
    assert set(map(said, answers)) == {"done"}
    assert left(counted) == 1


def test_what_is_missing_and_what_is_taken_out_are_never_the_same_pieces(counted):
    settler, taker = callers(2)

    answers = at_once(
        2, lambda index: take_out(taker, counted, "8") if index else settle(settler, counted)
    )

    # Three are missing of ten: there are eight to take only where nobody settled before.
    assert sorted(map(said, answers)) == ["done", "stock-short"]
    is_settled = said(answers[0]) == "done"
    assert left(counted) == (7 if is_settled else 2)


def test_who_settles_waits_for_who_is_at_the_parts(counted):
    (caller,) = callers(1)
    assert said(take_out(caller, counted, "8")) == "done"
    with transaction.atomic(using="owner"):
        Holding.objects.using("owner").select_for_update().get(part=counted.part)
        # Three are missing of two that are left, which is not said before nobody moves them.
        with kept_waiting("default"):
            count_settle(sheet=counted.sheet, reason="", ended_at=NOW, ended_by=caller.user)
