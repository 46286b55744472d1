import pytest

from shop.models import OUTSIDE_KINDS, Place
from tests.factories.shop import MoveFactory, PartFactory, PlaceFactory
from tests.factories.world import main_shelf, outside, stock
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db


def test_a_place_has_a_kind_that_the_ledger_knows():
    with refused("shop_place_kind_known"):
        PlaceFactory(kind="attic")
    with accepted():
        PlaceFactory(kind="shelf")


@pytest.mark.parametrize("kind", OUTSIDE_KINDS)
def test_there_is_one_place_of_each_outside_kind_from_the_first_migration_on(kind):
    assert Place.objects.filter(kind=kind).count() == 1
    with refused("shop_place_one_of_each_outside"):
        PlaceFactory(kind=kind)


@pytest.mark.parametrize("kind", ["shelf", "van", "bag"])
def test_there_may_be_many_places_that_hold_stock(kind):
    with accepted():
        PlaceFactory.create_batch(2, kind=kind)


def test_a_place_keeps_its_kind():
    van = Place.objects.filter(pk=PlaceFactory(kind="van").pk)
    with refused("shop_place_kind_fixed"):
        van.update(kind="shelf")
    with accepted():
        van.update(kind="van", name="The blue van")


def test_a_place_is_closed_only_when_it_is_empty():
    part, van = PartFactory(), PlaceFactory()
    stock(part, 4, 1, place=van)
    with refused("shop_place_closed_empty"):
        Place.objects.filter(pk=van.pk).update(is_active=False)
    MoveFactory(part=part, from_place=van, to_place=main_shelf(), quantity=4, reason="transferred")
    with accepted():
        Place.objects.filter(pk=van.pk).update(is_active=False)


def test_nothing_is_moved_to_a_closed_place():
    van = PlaceFactory(is_active=False)
    with refused("shop_move_place_open"):
        MoveFactory(to_place=van)
    Place.objects.filter(pk=van.pk).update(is_active=True)
    with accepted():
        MoveFactory(to_place=van)


def test_a_move_starts_or_ends_where_stock_is_held():
    with refused("shop_move_touches_stock"):
        MoveFactory(from_place=outside("supplier"), to_place=outside("used"))
    with accepted():
        MoveFactory(from_place=outside("supplier"), to_place=PlaceFactory(bag=True))
