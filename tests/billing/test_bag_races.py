"""Two people after the same parts at the same time: a bag's last piece, and a van to load."""

from decimal import Decimal

import pytest
from django.db import transaction

from billing.actions.job_bags import Given, quote_parts_give, quote_top_up
from billing.actions.packing import van_load
from billing.actions.quotes import quote_work_record
from billing.models import BagLine, Quote
from billing.queries.trips import Trip
from diagnostics.actions.bench_work import BenchWorkDraft
from shop.errors import Refused
from shop.models import Level
from tests.billing.test_races import refuse_unless_conserved
from tests.factories.billing import BagLineFactory
from tests.factories.diagnostics import RemedyFactory
from tests.factories.shop import PartFactory, PlaceFactory, UserFactory, VisitFactory
from tests.factories.world import NOW, TODAY, main_shelf, stock
from tests.refusals import kept_waiting
from tests.together import at_once


@pytest.fixture
def last_piece(committed_database):
    """The line of an approved job whose bag holds the last piece of a part."""
    with transaction.atomic():
        line = BagLineFactory(quote__approved=True, wanted_quantity=1, taken_quantity=1)
        stock(line.part, 1, 2, place=line.quote.bag)
    return line


def lacking(part, quantity=1):
    with transaction.atomic():
        return BagLineFactory(part=part, wanted_quantity=quantity, taken_quantity=0)


def give(line, taker):
    quote_parts_give(
        quote=line.quote,
        to_quote=taker.quote,
        given=[Given(line.part, Decimal(1))],
        given_at=NOW,
        given_by=line.quote.made_by,
    )


def top_up(line):
    at = {"topped_up_at": NOW, "topped_up_by": line.quote.made_by}
    quote_top_up(quote=line.quote, from_place=main_shelf(), **at)


def fit(line, remedy):
    quote_work_record(
        quote=line.quote,
        draft=BenchWorkDraft(
            remedy=remedy.code,
            note="60",
            naming="midi",
            minutes=Decimal(5),
            result="cured",
            fitted=((line.part.code, Decimal(1)),),
        ),
        done_at=NOW,
        done_by=line.quote.made_by,
    )


def outcome(action, *arguments):
    """Return what an action is refused for, "done" when it is not."""
    try:
        action(*arguments)
    except Refused as refusal:
        return refusal.code
    return "done"


def refuse_unless_lines_are_true():
    for line in BagLine.objects.select_related("quote"):
        there = Level.objects.filter(place=line.quote.bag, part=line.part).first()
        assert line.taken_quantity == (there.quantity if there else 0)
    refuse_unless_conserved()


def test_the_last_piece_of_a_bag_is_given_once(last_piece):
    takers = [lacking(last_piece.part), lacking(last_piece.part)]

    said = at_once(2, lambda index: outcome(give, last_piece, takers[index]))

    assert sorted(said) == ["done", "not-in-bag"]
    refuse_unless_lines_are_true()


def test_a_piece_is_fitted_or_given_and_not_both(last_piece):
    taker, remedy = lacking(last_piece.part), RemedyFactory()
    actions = [(give, last_piece, taker), (fit, last_piece, remedy)]

    said = at_once(2, lambda index: outcome(*actions[index]))

    assert sorted(said) == ["done", "not-in-bag"]
    refuse_unless_lines_are_true()


def test_of_two_who_want_the_last_pieces_of_a_shelf_one_gets_them(committed_database):
    part = PartFactory()
    lines = [lacking(part, 2), lacking(part, 2)]
    stock(part, 3, 2)

    at_once(2, lambda index: top_up(lines[index]))

    levels = [Level.objects.get(place=line.quote.bag, part=part).quantity for line in lines]
    assert sorted(levels) == [1, 2]
    refuse_unless_lines_are_true()


def test_no_quote_is_closed_while_its_bag_is_filled_or_gives(last_piece):
    taker = lacking(last_piece.part)
    for action, closed in [
        (lambda: give(last_piece, taker), last_piece.quote),
        (lambda: give(last_piece, taker), taker.quote),
        (lambda: top_up(taker), taker.quote),
    ]:
        with transaction.atomic():
            action()
            with kept_waiting("owner"):
                Quote.objects.using("owner").select_for_update(no_key=True).get(pk=closed.pk)
            transaction.set_rollback(True)


def test_two_bags_that_give_each_other_do_not_wait_for_each_other_for_ever(committed_database):
    with transaction.atomic():
        lines = [BagLineFactory(wanted_quantity=1, taken_quantity=1) for _ in range(2)]
        for line, other in zip(lines, reversed(lines), strict=True):
            stock(line.part, 1, 2, place=line.quote.bag)
            BagLineFactory(quote=other.quote, part=line.part, wanted_quantity=1, taken_quantity=0)

    said = at_once(2, lambda index: outcome(give, lines[index], lines[1 - index]))

    assert said == ["done", "done"]
    refuse_unless_lines_are_true()


def test_a_van_that_two_people_load_gets_what_it_wants_once(committed_database):
    line = lacking(PartFactory(), 5)
    site = line.quote.examination.instrument.site
    VisitFactory(site=site)
    stock(line.part, 9, 2)
    trip = Trip(PlaceFactory(), main_shelf(), TODAY, TODAY)
    user = UserFactory()

    loaded = at_once(2, lambda _: van_load(trip=trip, loaded_at=NOW, loaded_by=user))

    assert sorted(len(each.moves) for each in loaded) == [0, 1]
    assert Level.objects.get(place=trip.van, part=line.part).quantity == 5
    refuse_unless_conserved()
