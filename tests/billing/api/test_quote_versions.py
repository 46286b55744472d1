"""A quote revised: both versions are kept, and the job bag follows the difference."""

from diagnostics.models import Finding
from shop.models import Move, Place
from tests.billing.api.test_jobs import work
from tests.billing.api.test_quotes import at, quoted, refused
from tests.factories.shop import PlaceFactory
from tests.factories.world import main_shelf, stock


def moved_since(first):
    """What moved after the first version was made, by part: from where, to where, how much."""
    moves = Move.objects.filter(moved_at__gt=first["made_at"]).select_related("part")
    return {move.part.code: (move.from_place_id, move.to_place_id, move.quantity) for move in moves}


def test_a_revised_quote_supersedes_the_last_and_both_are_kept(technician, workshop):
    workshop.find(range(60, 72))
    first = quoted(technician, workshop)
    path = f"/examinations/{workshop.examination.pk}/quote"
    refused(technician.post(path), 409, "already-quoted")
    workshop.find([72])

    second = quoted(technician, workshop, revise=True)

    assert (second["version"], second["supersedes"], second["status"]) == (
        2,
        first["id"],
        "offered",
    )
    kept = technician.get(f"/quotes/{first['id']}").json()
    assert (kept["version"], kept["superseded_by"]) == (1, second["id"])
    assert kept == first | {"status": "superseded", "superseded_by": second["id"]}
    refused(
        technician.post(f"/quotes/{first['id']}/approve", {"approved_by": "x"}),
        409,
        "quote-not-open",
    )


def test_the_bag_follows_the_difference_alone(technician, workshop):
    workshop.find(range(60, 72))
    first = quoted(technician, workshop)
    bag, before = Place.objects.get(pk=first["bag"]), at(main_shelf())
    Finding.objects.filter(note_midi__gt=61).delete()
    Finding.objects.filter(note_midi=61).update(cause=None, remedy=None)

    second = quoted(technician, workshop, revise=True, leave_out_undecided=True)

    # One flange of unknown size takes a pin of each of the four sizes: three make up 85 %.
    assert second["bag"] == first["bag"]
    assert at(bag) == {"pin-20": 1, "pin-20-5": 1, "pin-21": 1, "pin-21-5": 1}
    back = {part: quantity - 1 for part, quantity in at_first(first).items()}
    assert moved_since(first) == {
        part: (bag.pk, main_shelf().pk, quantity) for part, quantity in back.items()
    }
    assert at(main_shelf()) == {part: before[part] + back[part] for part in before}


def at_first(quote):
    return {line["part"]: int(line["taken_quantity"]) for line in quote["bag_lines"]}


def test_a_bag_that_was_short_is_filled_up_from_what_came(technician, workshop):
    workshop.find(range(21, 109))
    first = quoted(technician, workshop)
    for pin in workshop.pins.values():
        stock(pin, 5, 1)

    second = quoted(technician, workshop, revise=True)

    # The shelf had 20 of each size, and 88 flanges take more than 25 of each.
    assert first["is_short"]
    assert at_first(first) == dict.fromkeys(at_first(first), 20)
    assert at_first(second) == dict.fromkeys(at_first(first), 25)
    assert set(at(main_shelf()).values()) == {0}


def test_what_is_wanted_no_more_goes_back_where_it_came_from(technician, workshop):
    van = PlaceFactory(kind="van")
    for pin in workshop.pins.values():
        stock(pin, 30, 1, van)
    workshop.find(range(60, 72))
    first = quoted(technician, workshop, from_place=van.pk)
    in_van = at(van)
    Finding.objects.filter(note_midi__gt=60).delete()

    second = quoted(technician, workshop, revise=True)

    back = {part: quantity - at_first(second)[part] for part, quantity in at_first(first).items()}
    assert at(van) == {part: in_van[part] + back[part] for part in in_van}


def test_stock_that_is_required_is_that_of_the_bag_too(technician, workshop):
    workshop.find(range(60, 90))
    first = quoted(technician, workshop)
    assert at(main_shelf())["pin-20"] < int(at_first(first)["pin-20"])
    assert quoted(technician, workshop, revise=True, require_stock=True)["is_short"] is False


def test_an_approved_quote_is_revised_until_work_has_begun(technician, workshop):
    workshop.find([60])
    quoted(technician, workshop, approve=True)
    second = quoted(technician, workshop, revise=True, approve=True)
    assert technician.post(f"/quotes/{second['id']}/bench-work", work("C4")).status_code == 201

    path = f"/examinations/{workshop.examination.pk}/quote"
    problem = refused(technician.post(path, {"revise": True}), 409, "work-begun")

    assert "further work is a change to it" in problem["detail"]
    assert technician.get(f"/quotes/{second['id']}").json()["status"] == "approved"


def test_what_is_invoiced_is_credited_before_a_revision(technician, office, workshop):
    workshop.find([60])
    quote = quoted(technician, workshop, approve=True)
    draft = office.post(f"/quotes/{quote['id']}/deposit-invoice", {"amount": "5"}).json()
    path = f"/examinations/{workshop.examination.pk}/quote"
    refused(technician.post(path, {"revise": True}), 409, "already-invoiced")
    tag = office.get(f"/invoices/{draft['id']}")["ETag"]
    office("DELETE", f"/invoices/{draft['id']}", If_Match=tag)
    assert quoted(technician, workshop, revise=True)["version"] == 2
