"""Filling the bags of open quotes after they were made, over HTTP."""

from decimal import Decimal

import pytest

from billing.models import BagLine, Quote, WeeklyShortage
from billing.queries.stocks import stocks
from shop.models import Move, Part
from tests.billing.api.conftest import at, quoted, tight
from tests.billing.api.test_quotes import refused
from tests.factories.shop import PlaceFactory
from tests.factories.world import main_shelf, outside, stock


@pytest.fixture
def jobs(technician, workshop, repins):
    """An approved job of twelve flanges without its 0.6 m of cloth, an offered one with 0.2 m."""
    offer, want = tight(workshop, range(60, 64)), tight(workshop, range(60, 72))
    stock(repins, Decimal("0.2"), 4)
    offered = quoted(technician, offer)
    approved = quoted(technician, want, approve=True)
    return approved, offered


def top_up(caller, quote, **values):
    return caller.post(f"/quotes/{quote['id']}/top-up", values)


def give(caller, giver, taker, quantity, part="cloth"):
    lines = [{"part": part, "quantity": quantity}]
    return caller.post(
        f"/quotes/{giver['id']}/give-parts", {"to_quote": taker["id"], "lines": lines}
    )


def cloth_of(bag):
    (line,) = [line for line in bag["bag_lines"] if line["part"] == "cloth"]
    return [line[f"{name}_quantity"] for name in ("wanted", "taken", "short")]


def is_short(caller, quote):
    return caller.get(f"/quotes/{quote['id']}").json()["is_short"]


def short_in_reorder_report(part):
    """What the report counts as short on approved and on offered quotes."""
    stock_of = stocks(Part.objects.filter(pk=part.pk))[part.pk]
    return stock_of.short_on_approved, stock_of.short_on_offered


def test_a_bag_gets_what_it_lacks_as_stock_comes(technician, repins, jobs):
    approved, _ = jobs
    stock(repins, Decimal("0.4"), 4)

    first = top_up(technician, approved)

    assert first.status_code == 200, first.content
    assert (first.json()["quote"], first.json()["is_short"]) == (approved["id"], True)
    assert cloth_of(first.json()) == ["0.6", "0.4", "0.2"]
    assert short_in_reorder_report(repins) == (Decimal("0.2"), 0)
    bag = Quote.objects.get(pk=approved["id"]).bag
    move = Move.objects.get(to_place=bag, part=repins)
    assert (move.from_place, move.reason, move.reference) == (main_shelf(), "bagged", bag.name)
    stock(repins, 1, 4)
    assert cloth_of(top_up(technician, approved).json()) == ["0.6", "0.6", "0"]
    assert (at(bag, repins), at(main_shelf(), repins)) == (Decimal("0.6"), Decimal("0.8"))
    assert not is_short(technician, approved)
    assert short_in_reorder_report(repins) == (0, 0)
    # A full bag gets nothing more.
    count = Move.objects.count()
    assert top_up(technician, approved).status_code == 200
    assert Move.objects.count() == count


def test_a_bag_is_topped_up_from_a_van_and_with_the_parts_that_are_named(technician, repins, jobs):
    approved, offered = jobs
    van = PlaceFactory()
    stock(repins, 1, 4, place=van)

    named = top_up(technician, approved, from_place=van.pk, parts=["pin-20"])
    assert cloth_of(named.json()) == ["0.6", "0", "0.6"]
    named = top_up(technician, approved, from_place=van.pk, parts=["cloth", "pin-20"])
    assert cloth_of(named.json()) == ["0.6", "0.6", "0"]
    assert at(van, repins) == Decimal("0.4")
    assert cloth_of(top_up(technician, offered).json()) == ["0.2", "0.2", "0"]


@pytest.mark.parametrize(
    ("values", "status", "code", "pointer"),
    [
        ({"require_stock": True}, 409, "stock-short", "/require_stock"),
        ({"parts": ["cloth", "pin-99"]}, 400, "invalid-input", "/parts/1"),
        ({"from_place": "used"}, 400, "invalid-input", "/from_place"),
    ],
)
def test_what_cannot_be_topped_up_is_refused_and_nothing_moves(
    technician, repins, jobs, values, status, code, pointer
):
    stock(repins, Decimal("0.4"), 4)
    if "from_place" in values:
        values = {"from_place": outside("used").pk}
    count = Move.objects.count()

    problem = refused(top_up(technician, jobs[0], **values), status, code)

    assert [error["pointer"] for error in problem["errors"]] == [pointer]
    assert Move.objects.count() == count
    assert is_short(technician, jobs[0])
    stock(repins, Decimal("0.2"), 4)
    assert top_up(technician, jobs[0], require_stock=True).json()["is_short"] is False


def test_a_part_goes_to_the_bag_that_needs_it_sooner_and_is_short_where_it_was(
    technician, repins, jobs
):
    approved, offered = jobs
    assert short_in_reorder_report(repins) == (Decimal("0.6"), 0)

    answer = give(technician, offered, approved, "0.15")

    assert answer.status_code == 200, answer.content
    bags = answer.json()
    assert cloth_of(bags["from_quote"]) == ["0.2", "0.05", "0.15"]
    assert cloth_of(bags["to_quote"]) == ["0.6", "0.15", "0.45"]
    assert is_short(technician, offered)
    assert short_in_reorder_report(repins) == (Decimal("0.45"), Decimal("0.15"))
    move = Move.objects.latest("id")
    assert (move.from_place_id, move.to_place_id) == (offered["bag"], approved["bag"])
    assert (move.reason, move.quantity) == ("bagged", Decimal("0.15"))
    # What each bag holds goes back to the shelf when its quote is closed.
    for quote in (offered, approved):
        assert technician.post(f"/quotes/{quote['id']}/withdraw").status_code == 200
    assert at(main_shelf(), repins) == Decimal("0.2")


def test_no_more_is_given_than_is_there_and_lacking(technician, jobs):
    approved, offered = jobs
    problem = refused(give(technician, offered, approved, "0.21"), 409, "not-in-bag")
    assert [error["pointer"] for error in problem["errors"]] == ["/lines/0/quantity"]
    assert "holds 0.2 that is not fitted" in problem["errors"][0]["detail"]
    # Of pins the bag that would get them lacks none, and of the other part there is none.
    beyond = give(technician, offered, approved, "1", part="pin-20")
    assert "lacks 0." in refused(beyond, 409, "taken-beyond-wanted")["errors"][0]["detail"]
    refused(give(technician, approved, offered, "0.1"), 409, "not-in-bag")
    assert give(technician, offered, approved, "0.2").status_code == 200


def test_what_is_fitted_already_cannot_be_given(technician, workshop, repins, jobs):
    approved, _ = jobs
    stock(repins, Decimal("0.6"), 4)
    top_up(technician, approved)
    later = quoted(technician, tight(workshop, range(60, 64)))
    work = {"note": "C4", "remedy": "repin-hammer", "minutes": "5", "result": "cured"}
    work["fitted"] = [{"part": "cloth", "quantity": "0.5"}]
    path = f"/quotes/{approved['id']}"
    assert technician.post(f"{path}/bench-work", work).status_code == 201

    problem = refused(give(technician, approved, later, "0.2"), 409, "not-in-bag")

    assert "holds 0.1 that is not fitted" in problem["errors"][0]["detail"]
    assert give(technician, approved, later, "0.1").status_code == 200
    # The job is done with what it has left; what it gave away and never got back was missed.
    assert technician.post(f"{path}/complete").status_code == 200
    missed = WeeklyShortage.objects.filter(part=repins)
    assert [row.quantity for row in missed] == [Decimal("0.1")]


def test_only_open_quotes_give_and_take(technician, jobs):
    approved, offered = jobs
    refused(give(technician, offered, offered, "0.1"), 400, "invalid-input")
    assert technician.post(f"/quotes/{approved['id']}/withdraw").status_code == 200
    refused(give(technician, offered, approved, "0.1"), 409, "quote-not-open")
    refused(give(technician, approved, offered, "0.1"), 409, "quote-not-open")
    refused(top_up(technician, approved), 409, "quote-not-open")
    assert set(BagLine.objects.filter(part__code="cloth").values_list("taken_quantity")) == {
        (Decimal(0),),
        (Decimal("0.2"),),
    }
