from datetime import timedelta
from decimal import Decimal

import pytest

from billing.models import Quote
from billing.queries.approval import approval_chance
from billing.queries.demand import WEEKS, demand, with_first_week
from shop.models import Part, PlaceKind
from tests.factories.billing import (
    APPROVED,
    COMPLETED,
    BagLineFactory,
    QuoteFactory,
    closed,
)
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
    return demand(now=now, chance=HALF).weeks_of(part.pk, row.first_week).demand


def lack(part, made_at=NOW, quantity=4):
    """Offer a quote that wants some of a part and gets none, and return its bag line."""
    wants = {"wanted_quantity": quantity, "taken_quantity": 0}
    return BagLineFactory(part=part, quote=QuoteFactory(made_at=made_at), **wants)


STEPS = {
    "offered": [],
    "approved": [APPROVED],
    "completed": [APPROVED, COMPLETED],
    "declined": [closed("declined")],
    "expired": [closed("expired")],
    "withdrawn": [closed("withdrawn")],
}


def become(quote, status):
    for columns in STEPS[status]:
        Quote.objects.filter(pk=quote.pk).update(**columns)


def bag(line, quantity, *, back=False, **columns):
    """Put some of a line's part into its bag, or take it out again."""
    ends = main_shelf(), line.quote.bag
    source, target = reversed(ends) if back else ends
    reason = "unbagged" if back else "bagged"
    places = {"from_place": source, "to_place": target}
    MoveFactory(part=line.part, quantity=quantity, reason=reason, **places, **columns)
    line.taken_quantity += -quantity if back else quantity
    line.save()


def test_demand_is_what_was_used_in_each_whole_week_since_the_part_first_came_in():
    part = PartFactory()
    stock(part, 50, 1)
    use(part, 2, in_weeks(1))
    use(part, 3, in_weeks(1) + timedelta(days=6))
    use(part, 5, in_weeks(3))
    # The fourth week after the first is not over.
    use(part, 7, in_weeks(4))

    assert weeks_of(part, in_weeks(4) + timedelta(days=3)) == [0, 5, 0, 5]


def test_what_is_dated_ahead_is_not_seen_before_its_week():
    part = PartFactory()
    stock(part, 50, 1)
    use(part, 2, in_weeks(5))
    assert weeks_of(part, in_weeks(2)) == [0, 0]
    assert weeks_of(part, NOW - timedelta(weeks=3)) == [0]


def test_what_comes_back_unused_was_not_asked_for():
    part = PartFactory()
    stock(part, 50, 1)
    use(part, 5, in_weeks(1))
    back = {"from_place": outside(PlaceKind.USED), "quantity": 2, "value": 1}
    MoveFactory(part=part, moved_at=in_weeks(1), **back)
    assert weeks_of(part, in_weeks(2)) == [0, 3]


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
    ("status", "asked"),
    [
        ("offered", 2),  # by the chance of approval, here a half
        ("approved", 4),
        ("completed", 4),
        ("declined", 0),
        ("expired", 0),
        ("withdrawn", 0),
    ],
)
def test_a_shortage_is_demand_on_the_day_of_the_quote_unless_the_client_did_not_want_it(
    status, asked
):
    part = PartFactory()
    stock(part, 50, 1)
    become(lack(part, in_weeks(1)).quote, status)
    assert weeks_of(part, in_weeks(3)) == [0, asked, 0]


def test_shortages_of_one_week_add_up():
    part = PartFactory()
    for status in ("approved", "completed", "completed"):
        become(lack(part).quote, status)
    assert weeks_of(part, in_weeks(1)) == [12]


def test_a_shortage_begins_the_history_of_a_part_that_never_came_in():
    part = PartFactory()
    become(lack(part, in_weeks(1)).quote, "approved")
    assert weeks_of(part, in_weeks(4)) == [4, 0, 0]


@pytest.mark.parametrize("status", ["approved", "completed"])
def test_what_is_put_into_the_bag_later_is_no_longer_missed(status):
    part = PartFactory()
    line = lack(part, in_weeks(1))
    stock(part, 50, 1)
    bag(line, 3)
    become(line.quote, status)
    assert weeks_of(part, in_weeks(2)) == [0, 1]


def test_a_done_job_that_had_some_left_over_missed_nothing():
    part = PartFactory()
    stock(part, 50, 1)
    line = lack(part, in_weeks(1))
    bag(line, 2)
    bag(line, 1, back=True)
    become(line.quote, "completed")
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
