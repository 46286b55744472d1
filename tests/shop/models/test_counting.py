from decimal import Decimal

import pgtrigger
import pytest

from shop.models import CountSheet, CountSheetLine, MoveReason, PlaceKind
from tests.factories.counting import CountSheetFactory, CountSheetLineFactory
from tests.factories.shop import MoveFactory, PlaceFactory, UserFactory
from tests.factories.world import NOW, outside, stock
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db


def same(row):
    return type(row).objects.filter(pk=row.pk)


def ended(status="dropped"):
    return {"status": status, "ended_at": NOW, "ended_by": UserFactory(), "reason": "Rained in"}


def test_a_sheet_starts_open_and_ends_once():
    with refused("shop_countsheet_status_first"):
        CountSheetFactory(**ended())
    sheet = CountSheetFactory()
    with refused("shop_countsheet_status_edge"):
        same(sheet).update(**ended("lost"))
    with (
        pgtrigger.ignore("shop.CountSheet:shop_countsheet_status_edge"),
        refused("shop_countsheet_status_known"),
    ):
        same(sheet).update(**ended("lost"))
    with accepted():
        same(sheet).update(**ended())
    with refused("shop_countsheet_stays"):
        same(sheet).update(reason="Another")


@pytest.mark.parametrize("column", ["ended_at", "ended_by", "reason"])
def test_an_ended_sheet_and_no_other_says_when_by_whom_and_why(column):
    sheet = CountSheetFactory()
    columns = ended()
    with refused("shop_countsheet_ended_complete"):
        same(sheet).update(**{**columns, column: "" if column == "reason" else None})
    with refused("shop_countsheet_ended_complete"):
        same(sheet).update(**{column: columns[column]})
    with accepted():
        same(sheet).update(**columns)


def test_a_place_has_one_open_sheet():
    sheet = CountSheetFactory()
    with refused("shop_countsheet_one_open"):
        CountSheetFactory(place=sheet.place)
    with accepted():
        same(sheet).update(**ended())
        CountSheetFactory(place=sheet.place)


def test_where_and_when_something_was_frozen_stays():
    sheet = CountSheetFactory()
    for change in (
        {"place": PlaceFactory()},
        {"frozen_at": NOW.replace(year=2025)},
        {"frozen_by": UserFactory()},
    ):
        with refused("shop_countsheet_stays"):
            same(sheet).update(**change)
    with refused("shop_countsheet_stays"):
        same(sheet)._raw_delete(using="default")
    with accepted():
        same(sheet).update(**ended())


def test_shelves_and_vans_are_counted_and_bags_are_not():
    with refused("shop_countsheet_own_place"):
        CountSheetFactory(place=PlaceFactory(bag=True))
    with accepted():
        CountSheetFactory(place=PlaceFactory(shelf=True))


def counted_line(counted):
    """A line that expected ten and found `counted`, in a van that holds ten."""
    line = CountSheetLineFactory(counted_quantity=counted)
    stock(line.part, 10, 1, line.sheet.place)
    return line


def correction(line, quantity, *, is_found=False, **columns):
    places = [line.sheet.place, outside(PlaceKind.COUNT_DIFFERENCE)]
    from_place, to_place = reversed(places) if is_found else places
    columns = {"part": line.part, "reason": MoveReason.COUNTED, "value": 1, **columns}
    return MoveFactory(from_place=from_place, to_place=to_place, quantity=quantity, **columns)


@pytest.mark.parametrize(
    "wrong",
    [
        {"quantity": 2},
        {"quantity": 3, "is_found": True},
        {"quantity": 3, "reason": MoveReason.SCRAPPED},
    ],
)
def test_a_settled_sheet_has_the_move_that_makes_up_what_is_missing(wrong):
    line = counted_line(Decimal(7))
    with refused("shop_countsheet_settled_ties"):
        same(line.sheet).update(**ended("settled"))
    with refused("shop_countsheet_settled_ties"):
        same(line).update(move=correction(line, **wrong))
        same(line.sheet).update(**ended("settled"))
    with accepted():
        same(line).update(move=correction(line, 3))
        same(line.sheet).update(**ended("settled"))


def test_a_settled_sheet_has_the_move_that_makes_up_what_was_found_beyond():
    line = counted_line(Decimal(11))
    with accepted():
        same(line).update(move=correction(line, 1, is_found=True))
        same(line.sheet).update(**ended("settled"))


@pytest.mark.parametrize("counted", [Decimal(10), None])
def test_a_line_that_differs_in_nothing_has_no_move(counted):
    line = counted_line(counted)
    with refused("shop_countsheet_settled_ties"):
        same(line).update(move=correction(line, 1))
        same(line.sheet).update(**ended("settled"))
    with accepted():
        same(line.sheet).update(**ended("settled"))


def test_nobody_finds_less_than_nothing():
    line = CountSheetLineFactory()
    with refused("shop_countsheetline_not_negative"):
        same(line).update(counted_quantity=-1)
    with accepted():
        same(line).update(counted_quantity=0)


def test_a_part_has_one_line_on_a_sheet():
    line = CountSheetLineFactory()
    with refused("shop_countsheetline_part_once"):
        CountSheetLineFactory(sheet=line.sheet, part=line.part)
    with accepted():
        CountSheetLineFactory(part=line.part)


def test_the_lines_of_a_sheet_that_has_ended_stay():
    line, open_line = CountSheetLineFactory(), CountSheetLineFactory()
    CountSheet.objects.filter(pk=line.sheet.pk).update(**ended())
    with refused("shop_countsheetline_sheet_open"):
        CountSheetLineFactory(sheet=line.sheet)
    with refused("shop_countsheetline_sheet_open"):
        same(line).update(counted_quantity=3)
    with accepted():
        CountSheetLineFactory(sheet=open_line.sheet)
        same(open_line).update(counted_quantity=3)


def test_what_was_expected_is_frozen():
    line = CountSheetLineFactory()
    with refused("shop_countsheetline_expected_stays"):
        same(line).update(expected_quantity=3)
    with refused("shop_countsheetline_expected_stays"):
        CountSheetLine.objects.filter(pk=line.pk).delete()
    with accepted():
        same(line).update(counted_quantity=3)


def test_a_move_makes_up_the_difference_of_one_line():
    first, second = CountSheetLineFactory(), CountSheetLineFactory()
    move = MoveFactory()
    same(first).update(move=move)
    with refused("shop_countsheetline_move_id_key"):
        same(second).update(move=move)
    with accepted():
        same(second).update(move=MoveFactory())
