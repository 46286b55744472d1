from decimal import Decimal

import pytest

from shop.actions.bags import bag_empty, bag_pack, bag_parts
from shop.actions.bulk import rows_insert
from shop.actions.stock import Posted, Posting, moves_post
from shop.models import Holding, Level, Move, MoveReason, Place, PlaceKind
from tests.factories.shop import PartFactory
from tests.factories.world import NOW, main_shelf, outside, stock
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db

POSTED = Posted(NOW, None, "Job bag 7-1")


@pytest.fixture
def parts():
    """Three pins, two of felt, and cloth of which there is none."""
    pins, felt, cloth = PartFactory(), PartFactory(), PartFactory()
    stock(pins, 3, Decimal("0.10"))
    stock(felt, 2, Decimal("4.00"))
    return pins, felt, cloth


@pytest.fixture
def bag(parts):
    """A bag that got two pins, and two felts of the four that were wanted."""
    wanted = dict(
        zip((part.pk for part in parts), (Decimal(2), Decimal(4), Decimal(1)), strict=True)
    )
    packed = bag_pack(name="Job bag 7-1", from_place=main_shelf(), wanted=wanted, posted=POSTED)
    assert list(packed.taken.values()) == [2, 2, 0]
    (key,), _moves = rows_insert(packed.bag, packed.moves)
    return Place.objects.get(pk=key)


def at(place):
    rows = Level.objects.filter(place=place).exclude(quantity=0)
    return dict(rows.values_list("part_id", "quantity"))


def empty(bag, **fitted):
    return bag_empty(bag=bag, to_place=main_shelf(), posted=POSTED, **fitted)


def test_a_bag_takes_what_is_wanted_as_far_as_the_shelf_has_it(bag, parts):
    pins, felt, _cloth = parts
    assert at(bag) == {pins.pk: 2, felt.pk: 2}
    assert at(main_shelf()) == {pins.pk: 1}
    assert sorted(bag_parts(bag)) == sorted([pins.pk, felt.pk])


def test_what_is_in_a_bag_is_still_held(bag, parts):
    pins, felt, _cloth = parts
    assert Holding.objects.get(part=pins).quantity == 3
    assert Holding.objects.get(part=felt).value == 8


def test_used_and_returned_are_what_was_taken(bag, parts):
    pins, felt, _cloth = parts

    empty(bag, fitted={pins.pk: Decimal(1), felt.pk: Decimal(2)})

    assert at(bag) == {}
    assert at(main_shelf()) == {pins.pk: 2}
    assert at(outside(PlaceKind.USED)) == {pins.pk: 1, felt.pk: 2}
    # One of three pins for 0.30, and both felts with all that is left of 8.00.
    fitted = Move.objects.filter(reason="fitted").values_list("part_id", "value")
    assert dict(fitted) == {pins.pk: Decimal("0.10"), felt.pk: 8}
    assert Holding.objects.filter(part=felt, quantity=0, value=0).exists()


def test_an_unused_bag_gives_everything_back(bag, parts):
    pins, felt, _cloth = parts
    empty(bag, fitted={})
    assert at(main_shelf()) == {pins.pk: 3, felt.pk: 2}
    assert not Move.objects.filter(reason="fitted").exists()


def test_more_than_the_bag_holds_cannot_be_fitted(bag, parts):
    pins, _felt, _cloth = parts
    with refused("shop_level_not_negative"):
        empty(bag, fitted={pins.pk: Decimal(3)})
    with accepted():
        empty(bag, fitted={pins.pk: Decimal(2)})


def test_an_emptied_bag_is_closed_for_good(bag, parts):
    pins, _felt, _cloth = parts
    to_bag = [Posting(pins.pk, main_shelf().pk, bag.pk, Decimal(1))]
    with accepted():
        moves_post(postings=to_bag, reason=MoveReason.BAGGED, posted=POSTED)
    empty(bag, fitted={})
    bag.refresh_from_db()
    assert not bag.is_active
    with refused("shop_move_place_open"):
        moves_post(postings=to_bag, reason=MoveReason.BAGGED, posted=POSTED)
