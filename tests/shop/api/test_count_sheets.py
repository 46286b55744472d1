"""Counts on sheets: frozen, counted while work goes on, settled."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from shop.models import Holding, Level, Move
from tests.factories.counting import CountSheetFactory
from tests.factories.shop import MoveFactory, PartFactory, PlaceFactory
from tests.factories.world import NOW, main_shelf, stock
from tests.shop.api.conftest import code_of, wrong


@pytest.fixture
def van(db):
    return PlaceFactory(name="Van 1")


@pytest.fixture
def pins(van):
    """Ten pieces in the van at 1.00 each."""
    part = PartFactory(code="pin-20")
    stock(part, 10, 1, van)
    return part


def level(part, place):
    return Level.objects.get(part=part, place=place).quantity


def freeze(asker, place, status=201):
    return asker.post("count-sheets", {"place": place.pk}, status)


def enter(asker, sheet, *entries, status=200):
    lines = [{"part": part.code, "quantity": quantity} for part, quantity in entries]
    return asker.post(f"count-sheets/{sheet['id']}/counted", {"lines": lines}, status)


def settle(asker, sheet, status=200, **body):
    body = {"reason": "Quarterly count", **body}
    return asker.post(f"count-sheets/{sheet['id']}/settle", body, status)


def move(asker, part, quantity, from_place, to_place):
    lines = [{"part": part.code, "quantity": quantity}]
    body = {"from_place": from_place.pk, "to_place": to_place.pk, "lines": lines}
    asker.post("transfers", body)


def test_a_sheet_freezes_what_is_expected(office, pins, van):
    stock(PartFactory(code="elsewhere"), 5, 1)
    sheet = freeze(office, van)
    assert (sheet["status"], sheet["place"], sheet["frozen_by"]) == ("open", van.pk, office.user.pk)
    assert sheet["lines"] == [
        {
            "part": "pin-20",
            "expected_quantity": "10",
            "counted_quantity": None,
            "difference": None,
            "move": None,
        }
    ]
    assert office.get(f"count-sheets/{sheet['id']}") == sheet
    [listed] = office.get(f"count-sheets?place={van.pk}&status=open")["items"]
    assert listed == {name: value for name, value in sheet.items() if name != "lines"}


def test_moves_made_in_between_are_respected(office, technician, pins, van):
    sheet = freeze(office, van)
    # Nine of the ten expected are found; then four are taken out and six come.
    enter(technician, sheet, (pins, "9"))
    move(technician, pins, "4", van, main_shelf())
    stock(pins, 6, 1, van)
    settled = settle(office, sheet)
    assert settled["status"] == "settled"
    assert (settled["reason"], settled["ended_by"]) == ("Quarterly count", office.user.pk)
    [line] = settled["lines"]
    assert (line["expected_quantity"], line["difference"]) == ("10", "-1")
    posted = office.get(f"moves/{line['move']}")
    assert (posted["reason"], posted["quantity"]) == ("counted", "1")
    assert posted["reference"] == f"count sheet {sheet['id']}"
    # 10 - 4 + 6 are on the books, one of which was never there.
    assert level(pins, van) == 11
    held = Holding.objects.get(part=pins)
    assert (held.quantity, held.value) == (15, 15)


def test_what_was_not_expected_gets_a_line_with_what_was_there_at_the_moment(office, van):
    cloth = PartFactory(code="cloth", cost=Decimal("2.50"))
    sheet = freeze(office, van)
    stock(cloth, 3, 2)
    move(office, cloth, "3", main_shelf(), van)
    [line] = enter(office, sheet, (cloth, "1"))["lines"]
    # The three came after the moment: one was found that nobody expected then.
    assert (line["expected_quantity"], line["difference"]) == ("0", "1")
    settle(office, sheet)
    assert level(cloth, van) == 4


def test_what_was_written_can_be_written_again(office, pins, van):
    sheet = freeze(office, van)
    enter(office, sheet, (pins, "9"))
    [line] = enter(office, sheet, (pins, "10"))["lines"]
    assert (line["counted_quantity"], line["difference"]) == ("10", "0")
    before = Move.objects.count()
    assert settle(office, sheet)["lines"][0]["move"] is None
    assert Move.objects.count() == before


def test_a_place_is_counted_once_at_a_time(office, pins, van):
    sheet = freeze(office, van)
    assert code_of(freeze(office, van, 409)) == "place-being-counted"
    body = {"place": van.pk, "lines": [{"part": "pin-20", "quantity": "8"}]}
    assert code_of(office.post("counts", body, 409)) == "place-being-counted"
    freeze(office, main_shelf())
    office.post(f"count-sheets/{sheet['id']}/drop", {"reason": "Called away"}, 200)
    freeze(office, van)


def test_a_dropped_sheet_posts_nothing_and_stays(office, pins, van):
    sheet = freeze(office, van)
    enter(office, sheet, (pins, "2"))
    body = {"reason": "Wrong van"}
    dropped = office.post(f"count-sheets/{sheet['id']}/drop", body, 200)
    assert (dropped["status"], dropped["reason"]) == ("dropped", "Wrong van")
    assert level(pins, van) == 10
    assert code_of(enter(office, sheet, (pins, "3"), status=409)) == "count-ended"
    assert code_of(settle(office, sheet, 409)) == "count-ended"
    assert code_of(office.post(f"count-sheets/{sheet['id']}/drop", body, 409)) == "count-ended"


def test_lines_that_nobody_counted_stay_as_they_are_if_that_is_accepted(office, pins, van):
    sheet = freeze(office, van)
    problem = settle(office, sheet, 409)
    assert code_of(problem) == "lines-uncounted"
    assert "pin-20" in problem["detail"]
    settle(office, sheet, accept_uncounted=True)
    assert level(pins, van) == 10


def test_a_count_that_cannot_be_right_is_not_settled(office, pins, van):
    sheet = freeze(office, van)
    enter(office, sheet, (pins, "2"))
    move(office, pins, "9", van, main_shelf())
    problem = settle(office, sheet, 409)
    assert code_of(problem) == "stock-short"
    assert "pin-20 (8 missing, 1 there now)" in problem["detail"]
    enter(office, sheet, (pins, "9"))
    settle(office, sheet)
    assert level(pins, van) == 0


def test_what_cannot_be_found_is_named(office, pins, van):
    sheet = freeze(office, van)
    problem = enter(office, sheet, (pins, "1.5"), status=400)
    assert wrong(problem) == [("/lines/0/quantity", "quantity-not-whole")]
    bag = PlaceFactory(bag=True)
    assert code_of(freeze(office, bag, 409)) == "not-shelf-or-van"
    assert wrong(settle(office, sheet, 400, reason="")) == [("/reason", "blank")]


def test_a_technician_counts_and_the_office_settles(technician, office, pins, van):
    assert code_of(freeze(technician, van, 403)) == "forbidden"
    sheet = freeze(office, van)
    enter(technician, sheet, (pins, "10"))
    assert code_of(settle(technician, sheet, 403)) == "forbidden"


def test_a_count_of_twenty_parts_takes_as_many_statements_as_one_of_one(office):
    def statements(count):
        place = PlaceFactory()
        parts = [PartFactory() for _ in range(count)]
        for part in parts:
            stock(part, 10, 1, place)
        with CaptureQueriesContext(connection) as captured:
            sheet = freeze(office, place)
            enter(office, sheet, *((part, "9") for part in parts))
            settle(office, sheet)
        return len(captured)

    assert statements(20) == statements(1)


def test_what_moved_at_the_very_moment_of_a_sheet_was_there_then(office):
    sheet, part = CountSheetFactory(place=main_shelf()), PartFactory()
    for moment, quantity in ((NOW, 3), (NOW + timedelta(seconds=1), 2)):
        MoveFactory(part=part, quantity=quantity, moved_at=moment)
    found = {"lines": [{"part": part.code, "quantity": "3"}]}
    [line] = office.post(f"count-sheets/{sheet.pk}/counted", found, 200)["lines"]
    assert (line["expected_quantity"], line["difference"]) == ("3", "0")
