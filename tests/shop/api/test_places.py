import pytest

from shop.models import Place, PlaceKind
from tests.factories.shop import PartFactory, PlaceFactory
from tests.factories.world import main_shelf, outside, stock
from tests.shop.api.conftest import code_of, wrong


def test_a_van_is_added_read_renamed_and_removed(office):
    made = office.post("places", {"kind": "van", "name": "The green van"})
    van = Place.objects.get(name="The green van")
    assert made == {"id": van.pk, "kind": "van", "name": "The green van", "is_active": True}
    path = f"places/{van.pk}"
    assert office.change(path, {"name": "The blue van"}) == {**made, "name": "The blue van"}
    office.remove(path)
    assert not Place.objects.filter(pk=van.pk).exists()


@pytest.mark.parametrize("kind", ["bag", "supplier", "used", "garage"])
def test_only_shelves_and_vans_are_added(office, kind):
    problem = office.post("places", {"kind": kind, "name": "Another"}, 400)
    assert wrong(problem) == [("/kind", "invalid-choice")]
    assert not Place.objects.filter(name="Another").exists()


def test_a_place_keeps_its_kind_and_its_name_to_itself(office):
    van = PlaceFactory()
    problem = office.change(f"places/{van.pk}", {"kind": "shelf"}, 400)
    assert wrong(problem) == [("/kind", "unknown-member")]
    problem = office.change(f"places/{van.pk}", {"name": main_shelf().name}, 409)
    assert code_of(problem) == "already-exists"


def test_an_empty_place_is_closed_and_one_that_holds_something_is_not(office):
    full, empty = PlaceFactory(), PlaceFactory()
    stock(PartFactory(), 3, 1, place=full)
    assert office.change(f"places/{empty.pk}", {"is_active": False})["is_active"] is False
    problem = office.change(f"places/{full.pk}", {"is_active": False}, 409)
    assert code_of(problem) == "place-not-empty"
    assert code_of(office.remove(f"places/{full.pk}", 409)) == "in-use"
    full.refresh_from_db()
    assert full.is_active


@pytest.mark.parametrize("kind", [PlaceKind.SUPPLIER, PlaceKind.BAG])
def test_job_bags_and_the_world_outside_are_left_alone(office, kind):
    place = PlaceFactory(bag=True) if kind == PlaceKind.BAG else outside(kind)
    path = f"places/{place.pk}"
    assert code_of(office.change(path, {"name": "Mine"}, 409)) == "not-shelf-or-van"
    assert code_of(office.remove(path, 409)) == "not-shelf-or-van"
    assert office.get(path)["name"] == place.name


def test_places_are_found_by_kind_and_activity(technician):
    van, _ = PlaceFactory(), PlaceFactory(shelf=True)
    closed = PlaceFactory(shelf=True, is_active=False)
    assert [row["id"] for row in technician.get("places?kind=van")["items"]] == [van.pk]
    assert [row["id"] for row in technician.get("places?is_active=false")["items"]] == [closed.pk]
