from datetime import timedelta
from decimal import Decimal

import pytest

from billing.queries.approval import approval_chance
from billing.queries.demand import WEEKS, demand, with_first_week
from billing.queries.reorder import reorder_report
from shop.models import Part, PlaceKind
from tests.factories.billing import BagLineFactory, QuoteFactory
from tests.factories.shop import MoveFactory, PartFactory
from tests.factories.world import NOW, main_shelf, outside, stock

pytestmark = pytest.mark.django_db

HALF = Decimal("0.5")


def in_weeks(number: int):
    # The world's now is a Monday morning.
    return NOW + timedelta(weeks=number)


def use(part, quantity, moved_at):
    shelf, used = main_shelf(), outside(PlaceKind.USED)
    MoveFactory(
        part=part, from_place=shelf, to_place=used, quantity=quantity, value=1, moved_at=moved_at
    )


def weeks_of(part, now):
    row = with_first_week(Part.objects.filter(pk=part.pk)).get()
    return demand(Part.objects.all(), now=now, chance=HALF).weeks_of(part.pk, row.first_week)


def lack(part, made_at=NOW, quantity=4, **state):
    line = {"wanted_quantity": quantity + 1, "taken_quantity": 1}
    return BagLineFactory(part=part, quote=QuoteFactory(made_at=made_at, **state), **line)


def test_demand_is_what_was_used_in_each_whole_week_since_the_part_first_came_in():
    part = PartFactory()
    stock(part, 50, 1)
    use(part, 2, in_weeks(1))
    use(part, 3, in_weeks(1) + timedelta(days=6))
    use(part, 5, in_weeks(3))
    # The fourth week after the first is not over.
    use(part, 7, in_weeks(4))

    assert weeks_of(part, in_weeks(4) + timedelta(days=3)) == [0, 5, 0, 5]


def test_until_its_first_week_is_over_a_part_has_that_week_alone():
    part = PartFactory()
    stock(part, 50, 1)
    use(part, 2, NOW)
    assert weeks_of(part, NOW + timedelta(days=1)) == [2]


def test_a_part_that_was_never_there_has_no_weeks():
    assert weeks_of(PartFactory(), NOW) == []


def test_what_was_asked_for_long_ago_is_left_out():
    part = PartFactory()
    stock(part, 50, 1)
    use(part, 2, NOW)
    now = in_weeks(WEEKS)
    assert weeks_of(part, now) == [2] + [0] * (WEEKS - 1)
    assert weeks_of(part, now + timedelta(weeks=1)) == [0] * WEEKS


@pytest.mark.parametrize(
    ("state", "asked"),
    [
        ({}, 2),  # offered: by the chance of approval, here a half
        ({"approved": True}, 4),
        ({"completed": True}, 4),
        ({"declined": True}, 0),
        ({"expired": True}, 0),
        ({"withdrawn": True}, 0),
    ],
)
def test_a_shortage_is_demand_on_the_day_of_the_quote_unless_the_client_did_not_want_it(
    state, asked
):
    part = PartFactory()
    stock(part, 50, 1)
    lack(part, in_weeks(1), **state)
    assert weeks_of(part, in_weeks(3)) == [0, asked, 0]


def test_a_shortage_begins_the_history_of_a_part_that_never_came_in():
    part = PartFactory()
    lack(part, in_weeks(1), approved=True)
    assert weeks_of(part, in_weeks(4)) == [4, 0, 0]


def test_what_is_put_into_the_bag_later_is_no_longer_missed():
    part = PartFactory()
    line = lack(part, in_weeks(1), approved=True)
    stock(part, 50, 1)
    for quantity in (1, 3):  # what was taken at first, and what came later
        MoveFactory(
            part=part,
            from_place=main_shelf(),
            to_place=line.quote.bag,
            quantity=quantity,
            reason="bagged",
        )
    assert weeks_of(part, in_weeks(2))[1] == 1


def test_a_done_job_that_had_some_left_over_missed_nothing():
    part = PartFactory()
    stock(part, 50, 1)
    line = lack(part, in_weeks(1), completed=True)
    bag = line.quote.bag
    MoveFactory(part=part, from_place=main_shelf(), to_place=bag, quantity=1, reason="bagged")
    MoveFactory(part=part, from_place=bag, to_place=main_shelf(), quantity=1, reason="unbagged")
    assert weeks_of(part, in_weeks(2)) == [0, 0]


def test_a_shop_without_a_history_takes_two_quotes_in_three_to_be_approved():
    assert approval_chance(NOW) == Decimal("0.667")


def test_the_chance_of_approval_follows_what_clients_said():
    for state in ("approved", "completed", "completed", "declined", "expired", "withdrawn"):
        QuoteFactory(**{state: True})
    QuoteFactory()
    # Three said yes and two no, one way or another: (2 + 3) / (3 + 5).
    assert approval_chance(NOW) == Decimal("0.625")
    assert approval_chance(NOW + timedelta(days=731)) == Decimal("0.667")


def row_of(part, now=NOW):
    (row,) = reorder_report(now=now, part_code=part.code)
    return row


def test_open_quotes_count_by_what_becomes_of_them():
    part = PartFactory()
    stock(part, 20, 1)
    for state in ({}, {"approved": True}):
        line = lack(part, quantity=3, **state)
        MoveFactory(
            part=part,
            from_place=main_shelf(),
            to_place=line.quote.bag,
            quantity=1,
            reason="bagged",
        )
    lack(part, declined=True)

    found = row_of(part)

    assert (found.stock.on_hand, found.stock.in_offered, found.stock.in_approved) == (18, 1, 1)
    assert (found.stock.short_on_offered, found.stock.short_on_approved) == (3, 3)
    # With 2 + 1 of 3 + 2 approved: 18 + 0.4 x 1 - 0.6 x 3 - 3.
    assert found.policy.approval_chance == HALF + Decimal("0.1")
    assert found.found.position == Decimal("13.6")


def test_a_part_may_have_a_service_level_of_its_own():
    own, shops = PartFactory(service_level_percent=99), PartFactory()
    levels = [row_of(part).policy.service_level_percent for part in (own, shops)]
    assert levels == [99, 95]
