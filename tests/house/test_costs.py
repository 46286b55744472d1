"""What the shop paid is the office's and the owner's to see, wherever it might stand."""

import pytest

from shop.models import Role
from tests.factories.shop import MoveFactory, PlaceFactory
from tests.house.routes import ROWS, made_for
from tests.house.test_access import ACCESS, ROUTES

# The members of an answer that say what the shop paid, wherever they stand.
COSTS = {
    *("cost", "average_cost", "held_value", "value"),
    *("pack_price", "economic_packs", "suggested_cost", "goods_amount"),
    *("landed_amount", "freight_amount", "duty_amount", "other_amount"),
    *("labour_cost_per_hour", "labour_cost", "parts_cost"),
}


def members(value):
    if isinstance(value, dict):
        return set(value).union(*(members(each) for each in value.values()))
    if isinstance(value, list):
        return set().union(*(members(each) for each in value))
    return set()


@pytest.mark.parametrize(
    ("noun", "costs"),
    [
        ("parts", {"cost", "average_cost", "held_value"}),
        ("moves", {"value"}),
        ("purchase-orders", {"currency", "net_total", "net_amount", "pack_price"}),
        (
            "receipts",
            {
                *("pack_price", "goods_amount", "landed_amount"),
                *("freight_amount", "duty_amount", "other_amount"),
            },
        ),
        ("supplier-returns", {"value"}),
    ],
)
def test_the_office_sees_costs_that_a_technician_does_not(technician, office, owner, noun, costs):
    row = MoveFactory() if noun in {"parts", "moves"} else ROWS[noun.removesuffix("s")]()
    one = f"/{noun}/{row.part.code if noun == 'parts' else row.pk}"
    found = set()
    for path in (f"/{noun}", one):
        seen = {caller.user.role: members(caller.get(path).json()) for caller in (office, owner)}
        hidden = members(technician.get(path).json())
        assert seen[Role.OFFICE] == seen[Role.OWNER]
        found |= seen[Role.OFFICE] - hidden
    assert found == costs


@pytest.mark.parametrize(
    "route",
    [route for route in ROUTES if "technician" in ACCESS[route.name].get("GET", ())],
    ids=lambda route: route.name,
)
def test_no_answer_tells_a_technician_what_anything_cost(technician, route):
    response = technician.get(route.path_of(made_for(route)))

    assert response.status_code == 200
    if response["Content-Type"] == "application/json":
        assert members(response.json()) & COSTS == set()


def test_a_paper_that_a_technician_writes_tells_no_cost(technician, office):
    move, van = MoveFactory(), PlaceFactory()
    paper = {
        "from_place": move.to_place.pk,
        "to_place": van.pk,
        "lines": [{"part": move.part.code, "quantity": "1"}],
    }
    answers = [caller.post("/transfers", paper) for caller in (technician, office)]

    assert [answer.status_code for answer in answers] == [201, 201]
    assert [members(answer.json()) & COSTS for answer in answers] == [set(), {"value"}]
