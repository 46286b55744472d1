from datetime import timedelta

import pytest

from shop.models import Level
from tests.factories.shop import MoveFactory, PartFactory, PlaceFactory
from tests.factories.world import NOW, main_shelf, stock
from tests.shop.api.conftest import code_of


def test_a_level_says_how_much_of_a_part_is_where(technician):
    part = PartFactory(bushing_cloth=True, code="cloth")
    stock(part, 3, 1)
    level = Level.objects.get(part=part, place=main_shelf())
    shown = {
        "id": level.pk,
        "part": "cloth",
        "unit": "metre",
        "place": main_shelf().pk,
        "place_name": "Main shelf",
        "kind": "shelf",
        "is_held": True,
        "quantity": "3",
    }
    assert technician.get(f"levels/{level.pk}") == shown
    assert technician.get("levels?part=cloth&is_held=true")["items"] == [shown]


def test_levels_are_found_by_part_place_and_kind(technician):
    pin, van = PartFactory(code="pin-20"), PlaceFactory()
    stock(pin, 3, 1)
    stock(PartFactory(), 5, 1, place=van)

    def found(query):
        return [row["quantity"] for row in technician.get(f"levels?{query}")["items"]]

    assert sorted(found("part=pin-20")) == ["-3", "3"]
    assert found("kind=van") == found(f"place={van.pk}") == ["5"]
    assert found("part=none") == []


@pytest.mark.parametrize("path", ["levels", "moves"])
def test_levels_and_moves_are_only_read(owner, path):
    stock(PartFactory(), 3, 1)
    row = owner.get(path)["items"][0]
    assert code_of(owner.post(path, {"quantity": "9"}, 405)) == "method-not-allowed"
    for method in ("PATCH", "DELETE"):
        assert owner(method, f"{path}/{row['id']}", {}, If_Match="*").status_code == 405


def test_moves_come_newest_first_page_by_page(technician):
    late, early = NOW + timedelta(days=1), NOW - timedelta(days=1)
    made = [MoveFactory(moved_at=moved_at).pk for moved_at in (NOW, late, early, late, NOW)]
    page = technician.get("moves?limit=2")
    seen = [row["id"] for row in page["items"]]
    while "next" in page:
        page = technician.get(page["next"])
        seen += [row["id"] for row in page["items"]]
    assert seen == [made[index] for index in (3, 1, 4, 0, 2)]


def test_moves_are_found_by_part_places_reason_reference_and_time(technician):
    part, van = PartFactory(code="pin-20"), PlaceFactory()
    stock(part, 5, 1)
    sought = MoveFactory(
        part=part,
        from_place=main_shelf(),
        to_place=van,
        quantity=2,
        value=2,
        reason="transferred",
        reference="Monday",
        moved_at=NOW + timedelta(days=1),
    )
    for query in (
        f"part=pin-20&from_place={main_shelf().pk}",
        f"to_place={van.pk}",
        "reason=transferred",
        "reference=Monday",
        "moved_at_after=2026-03-03T00:00:00Z",
    ):
        assert [row["id"] for row in technician.get(f"moves?{query}")["items"]] == [sought.pk]
    earlier = technician.get("moves?moved_at_before=2026-03-02T23:00:00Z")["items"]
    assert [row["quantity"] for row in earlier] == ["5"]


def test_the_value_of_moves_is_shown_to_the_office_and_the_owner_alone(technician, office, owner):
    move = stock(PartFactory(), 5, 2)
    assert "value" not in technician.get(f"moves/{move.pk}")
    assert "value" not in technician.get("moves")["items"][0]
    for caller in (office, owner):
        assert caller.get(f"moves/{move.pk}")["value"] == "10.00"
        assert caller.get("moves")["items"][0]["value"] == "10.00"
