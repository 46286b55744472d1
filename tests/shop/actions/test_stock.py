from datetime import timedelta
from decimal import Decimal

import pytest

from shop.actions.stock import (
    Posted,
    ReceivedLine,
    goods_receive,
    stock_count,
    stock_scrap,
    stock_transfer,
)
from shop.errors import Refused
from shop.models import Holding, Level, Move, PlaceKind
from tests.factories.shop import PartFactory, PlaceFactory, UserFactory
from tests.factories.world import NOW, main_shelf, outside
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db

OUTSIDE_KINDS = ["supplier", "used", "scrapped", "count_difference"]


@pytest.fixture
def posted():
    return Posted(NOW + timedelta(hours=1), UserFactory(), "Paper 7")


@pytest.fixture
def shelf():
    return main_shelf()


@pytest.fixture
def van():
    return PlaceFactory()


@pytest.fixture
def pins(shelf, posted):
    """Three pins on the shelf that cost 10.00 together, so that an average never ends."""
    part = PartFactory(code="pins", cost=Decimal("1.20"))
    receive(shelf, posted, (part, 1, "4.00"), (part, 2, "3.00"))
    return part


def receive(place, posted, *lines):
    return goods_receive(
        lines=[
            ReceivedLine(part, Decimal(quantity), Decimal(cost)) for part, quantity, cost in lines
        ],
        place=place,
        posted=posted,
    )


def held(part):
    return Holding.objects.values_list("quantity", "value").get(part=part)


def at(place, part):
    return sum(Level.objects.filter(place=place, part=part).values_list("quantity", flat=True))


def refusal(action, code, **arguments):
    """Return the pointers of a refusal that moved nothing."""
    before = Move.objects.count()
    with pytest.raises(Refused) as caught:
        action(**arguments)
    assert caught.value.code == code
    assert Move.objects.count() == before
    return [error.pointer for error in caught.value.errors]


def test_goods_come_in_at_what_they_cost(shelf, posted):
    part = PartFactory(unit="metre")

    [move] = receive(shelf, posted, (part, "2.5", "4.333"))

    # 2.5 times 4.333 is 10.8325.
    assert (move.quantity, move.value) == (Decimal("2.5"), Decimal("10.83"))
    assert (move.from_place, move.to_place) == (outside(PlaceKind.SUPPLIER), shelf)
    assert (move.reason, move.reference) == ("received", "Paper 7")
    assert (move.moved_at, move.moved_by) == (posted.moved_at, posted.moved_by)
    assert held(part) == (Decimal("2.5"), Decimal("10.83"))
    assert at(shelf, part) == Decimal("2.5")
    assert at(outside(PlaceKind.SUPPLIER), part) == Decimal("-2.5")


def test_a_part_may_stand_on_several_lines_of_one_delivery(shelf, posted):
    part = PartFactory()
    receive(shelf, posted, (part, 2, "3.00"), (part, 3, "5.00"))
    assert held(part) == (5, 21)


@pytest.mark.parametrize("kind", [*OUTSIDE_KINDS, "bag"])
def test_goods_are_received_on_a_shelf_or_van_alone(kind, van, posted):
    part = PartFactory()
    place = PlaceFactory(bag=True) if kind == "bag" else outside(kind)
    lines = [ReceivedLine(part, Decimal(1), Decimal(1))]
    assert refusal(goods_receive, "not-shelf-or-van", lines=lines, place=place, posted=posted) == [
        "/place"
    ]
    receive(van, posted, (part, 1, 1))
    assert at(van, part) == 1


def test_a_closed_place_receives_nothing(van, posted):
    part = PartFactory()
    closed = PlaceFactory(is_active=False)
    with refused("shop_move_place_open"):
        receive(closed, posted, (part, 1, 1))
    with accepted():
        receive(van, posted, (part, 1, 1))


def test_a_transfer_carries_its_share_of_the_value_and_changes_no_holding(shelf, van, pins, posted):
    [move] = stock_transfer(
        quantities={pins.pk: Decimal(1)}, from_place=shelf, to_place=van, posted=posted
    )
    # A third of 10.00.
    assert move.value == Decimal("3.33")
    assert (at(shelf, pins), at(van, pins)) == (2, 1)
    assert held(pins) == (3, 10)


@pytest.mark.parametrize("quantity", [3, 4])
def test_a_place_gives_what_it_holds_and_no_more(quantity, shelf, van, pins, posted):
    move = {
        "quantities": {pins.pk: Decimal(quantity)},
        "from_place": shelf,
        "to_place": van,
        "posted": posted,
    }
    if quantity > 3:
        assert refusal(stock_transfer, "stock-short", **move) == ["/lines/0/quantity"]
    else:
        stock_transfer(**move)
        assert (at(shelf, pins), at(van, pins)) == (0, 3)


def test_every_line_that_is_short_is_named_and_none_is_moved(shelf, van, pins, posted):
    felt, cloth = PartFactory(), PartFactory()
    receive(shelf, posted, (felt, 5, 1))
    quantities = {felt.pk: Decimal(6), pins.pk: Decimal(3), cloth.pk: Decimal(1)}
    assert refusal(
        stock_scrap, "stock-short", quantities=quantities, from_place=shelf, posted=posted
    ) == ["/lines/0/quantity", "/lines/2/quantity"]


@pytest.mark.parametrize("side", ["from_place", "to_place"])
@pytest.mark.parametrize("kind", [*OUTSIDE_KINDS, "bag"])
def test_transfers_run_between_shelves_and_vans_alone(side, kind, shelf, van, pins, posted):
    place = PlaceFactory(bag=True) if kind == "bag" else outside(kind)
    move = {
        "quantities": {pins.pk: Decimal(1)},
        "from_place": shelf,
        "to_place": van,
        "posted": posted,
    }
    wrong = move | {side: place}
    assert refusal(stock_transfer, "not-shelf-or-van", **wrong) == [f"/{side}"]
    assert len(stock_transfer(**move)) == 1


def test_a_transfer_to_the_same_place_is_refused(shelf, van, pins, posted):
    move = {"quantities": {pins.pk: Decimal(1)}, "from_place": shelf, "posted": posted}
    with refused("shop_move_between_two_places"):
        stock_transfer(to_place=shelf, **move)
    with accepted():
        stock_transfer(to_place=van, **move)


def test_what_is_scrapped_leaves_at_the_average_and_the_last_takes_the_rest(shelf, pins, posted):
    # 10.00 for three: a third is 3.33, half of the 6.67 left is 3.335 and rounds to 3.34 (half
    # away from zero), and the last takes 3.33. Method: IAS 2, paragraphs 25 and 27.
    values = []
    for _ in range(3):
        [move] = stock_scrap(quantities={pins.pk: Decimal(1)}, from_place=shelf, posted=posted)
        values.append(move.value)
    assert values == [Decimal("3.33"), Decimal("3.34"), Decimal("3.33")]
    assert held(pins) == (0, 0)
    assert at(outside(PlaceKind.SCRAPPED), pins) == 3


def test_the_average_is_over_all_places(shelf, van, pins, posted):
    receive(van, posted, (pins, 1, "6.00"))
    [move] = stock_scrap(quantities={pins.pk: Decimal(1)}, from_place=van, posted=posted)
    # Four for 16.00; it does not matter that the one in the van cost 6.00.
    assert move.value == 4


@pytest.mark.parametrize("kind", ["scrapped", "bag"])
def test_only_what_is_on_a_shelf_or_van_is_scrapped(kind, shelf, pins, posted):
    place = PlaceFactory(bag=True) if kind == "bag" else outside(kind)
    scrap = {"quantities": {pins.pk: Decimal(1)}, "posted": posted}
    assert refusal(stock_scrap, "not-shelf-or-van", from_place=place, **scrap) == ["/from_place"]
    assert len(stock_scrap(from_place=shelf, **scrap)) == 1


def test_a_count_takes_what_is_missing_out_at_the_average(shelf, pins, posted):
    [move] = stock_count(counted={pins.pk: Decimal(2)}, place=shelf, posted=posted)
    assert (move.quantity, move.value, move.reason) == (1, Decimal("3.33"), "counted")
    assert move.to_place == outside(PlaceKind.COUNT_DIFFERENCE)
    assert held(pins) == (2, Decimal("6.67"))


def test_a_count_brings_what_is_found_in_at_the_average(shelf, pins, posted):
    [move] = stock_count(counted={pins.pk: Decimal(5)}, place=shelf, posted=posted)
    # Two thirds of 10.00.
    assert (move.quantity, move.value) == (2, Decimal("6.67"))
    assert held(pins) == (5, Decimal("16.67"))


def test_what_is_found_of_a_part_that_nobody_holds_comes_in_at_its_expected_cost(shelf, posted):
    part = PartFactory(cost=Decimal("1.20"))
    stock_count(counted={part.pk: Decimal(5)}, place=shelf, posted=posted)
    assert held(part) == (5, 6)


def test_a_count_that_agrees_moves_nothing(shelf, pins, posted):
    assert stock_count(counted={pins.pk: Decimal(3)}, place=shelf, posted=posted) == []
    assert at(shelf, pins) == 3


def test_a_count_to_nothing_leaves_no_value(shelf, pins, posted):
    [move] = stock_count(counted={pins.pk: Decimal(0)}, place=shelf, posted=posted)
    assert (move.quantity, move.value) == (3, 10)
    assert held(pins) == (0, 0)


def test_a_count_is_of_its_place_alone(shelf, van, pins, posted):
    receive(van, posted, (pins, 4, 1))
    stock_count(counted={pins.pk: Decimal(1)}, place=van, posted=posted)
    assert (at(shelf, pins), at(van, pins)) == (3, 1)


@pytest.mark.parametrize("kind", ["used", "bag"])
def test_only_shelves_and_vans_are_counted(kind, shelf, pins, posted):
    place = PlaceFactory(bag=True) if kind == "bag" else outside(kind)
    count = {"counted": {pins.pk: Decimal(1)}, "posted": posted}
    assert refusal(stock_count, "not-shelf-or-van", place=place, **count) == ["/place"]
    assert len(stock_count(place=shelf, **count)) == 1


def test_parts_counted_in_pieces_move_whole(shelf, pins, posted):
    with refused("shop_move_whole_pieces"):
        stock_count(counted={pins.pk: Decimal("2.5")}, place=shelf, posted=posted)
    with accepted():
        stock_count(counted={pins.pk: Decimal("2")}, place=shelf, posted=posted)
