"""Loading a van by its packing list, over HTTP."""

from decimal import Decimal

import pytest

from billing.models import BagLine
from shop.models import Move, Place
from tests.billing.api.conftest import TRIP, at, packed, part_of
from tests.factories.shop import PlaceFactory
from tests.factories.world import main_shelf, outside, stock


def test_loading_moves_what_the_list_wants_and_a_second_time_nothing(
    technician, van, two_jobs, repins
):
    before = packed(technician, van)

    answer = technician.post(f"/places/{van.pk}/load", TRIP)

    assert answer.status_code == 200, answer.content
    loaded = answer.json()
    wanted = {
        part["part"]: part["to_load_quantity"]
        for part in before["parts"]
        if part["to_load_quantity"] != "0"
    }
    assert {each["part"]: each["quantity"] for each in loaded["loaded"]} == wanted
    assert wanted["cloth"] == "0.05"
    assert (at(van, repins), at(main_shelf(), repins)) == (Decimal("0.05"), 0)
    assert [each["quantity"] for each in loaded["short"] if each["part"] == "cloth"] == ["0.05"]
    moves = Move.objects.filter(pk__in=loaded["moves"])
    assert {(move.from_place, move.to_place, move.reason) for move in moves} == {
        (main_shelf(), van, "transferred")
    }
    # Bags stay as they are.
    for line in BagLine.objects.all():
        assert at(line.quote.bag, line.part) == line.taken_quantity
    again = technician.post(f"/places/{van.pk}/load", TRIP).json()
    assert (again["loaded"], again["moves"]) == ([], [])
    assert again["short"] == loaded["short"]
    assert part_of(packed(technician, van), "cloth")["in_van_quantity"] == "0.05"


def test_loading_takes_from_the_shelf_that_is_named(technician, van, two_jobs, repins):
    cellar = PlaceFactory(shelf=True, name="Cellar")
    stock(repins, 3, 4, place=cellar)

    loaded = technician.post(f"/places/{van.pk}/load", {**TRIP, "from_place": cellar.pk}).json()

    assert [(each["part"], each["quantity"]) for each in loaded["loaded"]] == [("cloth", "0.1")]
    assert loaded["short"] == []
    assert (at(cellar, repins), at(van, repins)) == (Decimal("2.9"), Decimal("0.1"))


@pytest.mark.parametrize(
    ("trip", "pointer", "code"),
    [
        ({"starts_on": "2026-03-02", "ends_on": "2026-03-01"}, "ends_on", "period-backwards"),
        ({"starts_on": "2026-03-02", "ends_on": "2026-06-02"}, "ends_on", "period-too-long"),
        ({"technician": 0}, "technician", "does-not-exist"),
        ({"from_place": "van"}, "from_place", "does-not-exist"),
        ({"from_place": "closed"}, "from_place", "does-not-exist"),
        ({"until": "2026-03-02"}, "until", "unknown-member"),
    ],
)
def test_a_trip_that_is_none_is_refused(technician, van, trip, pointer, code):
    if "from_place" in trip:
        places = {"van": van, "closed": PlaceFactory(shelf=True, is_active=False)}
        trip = {"from_place": places[trip["from_place"]].pk}
    answer = technician.post(f"/places/{van.pk}/load", trip)

    assert answer.status_code == 400
    (error,) = answer.json()["errors"]
    assert (error["pointer"], error["code"]) == (f"/{pointer}", code)


def test_a_van_in_use_is_packed_and_nothing_else(technician, van):
    sold = PlaceFactory(is_active=False)
    for place in (main_shelf(), outside("used"), sold):
        assert technician.get(f"/places/{place.pk}/packing-list").status_code == 404
        assert technician.post(f"/places/{place.pk}/load").status_code == 404
    assert technician.post(f"/places/{van.pk}/load").status_code == 200


def test_where_no_shelf_is_in_use_none_is_taken_for_it(technician, van):
    Place.objects.filter(kind="shelf").update(is_active=False)
    for answer in (
        technician.get(f"/places/{van.pk}/packing-list"),
        technician.post(f"/places/{van.pk}/load"),
    ):
        assert answer.status_code == 409
        assert answer.json()["type"].endswith("/not-shelf-or-van")
