import re
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pgtrigger
import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from shop.models import Move, WeeklyBalance, WeeklyFlow, WeeklyUse
from shop.queries.holdings import held_by_week, parts_held_at
from tests.factories.shop import MoveFactory, PartFactory, PlaceFactory
from tests.factories.world import main_shelf, outside
from tests.refusals import accepted, refused
from tests.shop.models.test_stock import moves_of_many_kinds, sql
from tests.shop.weekly_sums import ledgers_own_sums, stored_sums

pytestmark = pytest.mark.django_db

# A Monday, and the Mondays after it.
MONDAYS = [date(2026, 3, 2) + timedelta(weeks=number) for number in range(4)]


def at(week: int, day: int = 0, hour: int = 12) -> datetime:
    return datetime.combine(
        MONDAYS[week] + timedelta(days=day), datetime.min.time(), UTC
    ) + timedelta(hours=hour)


def receive(part, quantity, value, moved_at):
    return MoveFactory(part=part, quantity=quantity, value=value, moved_at=moved_at)


def use(part, quantity, value, moved_at):
    return MoveFactory(
        part=part,
        from_place=main_shelf(),
        to_place=outside("used"),
        quantity=quantity,
        value=value,
        reason="fitted",
        moved_at=moved_at,
    )


def flows(part):
    rows = WeeklyFlow.objects.filter(part=part).order_by("kind", "starts_on")
    return list(
        rows.values_list(
            "kind", "starts_on", "in_quantity", "in_value", "out_quantity", "out_value"
        )
    )


def balances(part):
    rows = WeeklyBalance.objects.filter(part=part).order_by("starts_on")
    return list(rows.values_list("starts_on", "quantity", "value"))


def test_a_week_sums_up_what_came_in_and_what_went_out():
    part = PartFactory()
    receive(part, 10, 30, at(0))
    receive(part, 2, 6, at(0, day=6, hour=23))
    use(part, 4, 12, at(1))
    use(part, 1, 3, at(3))

    assert flows(part) == [
        ("supplier", MONDAYS[0], 12, 36, 0, 0),
        ("used", MONDAYS[1], 0, 0, 4, 12),
        ("used", MONDAYS[3], 0, 0, 1, 3),
    ]
    assert balances(part) == [(MONDAYS[0], 12, 36), (MONDAYS[1], 8, 24), (MONDAYS[3], 7, 21)]


def test_a_move_inside_the_shop_changes_no_week():
    part = PartFactory()
    receive(part, 10, 30, at(0))
    before = flows(part), balances(part)
    MoveFactory(part=part, from_place=main_shelf(), to_place=PlaceFactory(bag=True), moved_at=at(1))
    assert (flows(part), balances(part)) == before


def test_a_move_dated_back_changes_its_own_week_and_every_later_balance():
    part = PartFactory()
    receive(part, 10, 30, at(0))
    use(part, 4, 12, at(3))
    receive(part, 5, 20, at(1))

    assert balances(part) == [(MONDAYS[0], 10, 30), (MONDAYS[1], 15, 50), (MONDAYS[3], 11, 38)]


def test_a_week_begins_on_monday_in_utc_whatever_the_connection_says():
    part = PartFactory()
    sql("SET LOCAL TIME ZONE 'Pacific/Auckland'")
    # Sunday 23:59 and Monday 00:00 in UTC, both Monday in Auckland.
    receive(part, 1, 3, at(0, hour=0) - timedelta(minutes=1))
    receive(part, 2, 6, at(0, hour=0))
    assert [row[:2] for row in balances(part)] == [
        (MONDAYS[0] - timedelta(weeks=1), 1),
        (MONDAYS[0], 3),
    ]


def weeks_of_moves():
    """Moves of every kind over two parts and three weeks, some of them not in their order."""
    built = []
    for part, weeks in ((PartFactory(), [0] * 8 + [2, 1]), (PartFactory(), [0] * 5 + [2] * 5)):
        built += [
            MoveFactory.build(
                part=part, from_place=a, to_place=b, quantity=amount, value=value, moved_at=at(week)
            )
            for (a, b, amount, value), week in zip(moves_of_many_kinds(), weeks, strict=True)
        ]
    return built


@pytest.mark.parametrize("at_once", [True, False], ids=["in one statement", "one by one"])
def test_the_sums_of_the_weeks_are_those_of_the_moves(at_once):
    moves = weeks_of_moves()
    for batch in [moves] if at_once else [[move] for move in moves]:
        Move.objects.bulk_create(batch)
    assert stored_sums() == ledgers_own_sums()


@pytest.mark.parametrize("table", ["shop_weeklyflow", "shop_weeklybalance", "shop_weeklyuse"])
@pytest.mark.parametrize(
    "statement",
    ["UPDATE {table} SET id = id", "DELETE FROM {table}", "INSERT INTO {table} TABLE {table}"],
)
def test_weeks_are_written_by_moves_alone(table, statement):
    rules = {
        "shop_weeklyflow": "shop_weeklyflow_kept_by_ledger",
        "shop_weeklybalance": "shop_weeklybalance_kept_by_ledger",
        "shop_weeklyuse": "shop_weeklyuse_kept_by_ledger",
    }
    part = PartFactory()
    receive(part, 4, 12, at(0))
    use(part, 1, 3, at(0))
    with refused(rules[table]):
        sql(statement.format(table=table))
    with accepted():
        receive(part, 4, 12, at(0))


@pytest.mark.parametrize(
    ("rule", "wrong"),
    [
        ("shop_weeklyflow_one_per_week", {"kind": "supplier"}),
        ("shop_weeklyflow_kind_outside", {"kind": "shelf"}),
        ("shop_weeklyflow_on_monday", {"starts_on": MONDAYS[0] + timedelta(days=1)}),
    ],
)
def test_a_flow_is_that_of_one_kind_outside_in_one_week(rule, wrong):
    part = PartFactory()
    receive(part, 4, 12, at(0))
    amounts = {"in_quantity": 0, "in_value": 0, "out_quantity": 1, "out_value": 3}
    right = {"part": part, "kind": "used", "starts_on": MONDAYS[0], **amounts}
    # The ledger refuses it first; without that the database still does.
    with pgtrigger.ignore("shop.WeeklyFlow:shop_weeklyflow_kept_by_ledger"):
        with refused(rule):
            WeeklyFlow.objects.create(**right | wrong)
        with accepted():
            WeeklyFlow.objects.create(**right)


@pytest.mark.parametrize(
    ("rule", "starts_on"),
    [
        ("shop_weeklybalance_one_per_week", MONDAYS[0]),
        ("shop_weeklybalance_on_monday", MONDAYS[1] + timedelta(days=1)),
    ],
)
def test_a_balance_is_that_of_one_week(rule, starts_on):
    part = PartFactory()
    receive(part, 4, 12, at(0))
    with pgtrigger.ignore("shop.WeeklyBalance:shop_weeklybalance_kept_by_ledger"):
        with refused(rule):
            WeeklyBalance.objects.create(part=part, starts_on=starts_on, quantity=1, value=1)
        with accepted():
            WeeklyBalance.objects.create(part=part, starts_on=MONDAYS[1], quantity=1, value=1)


# 52 weeks begin on the Monday 1 January 2001, and every 364 days after it.
YEAR = date(2001, 1, 1) + timedelta(days=25 * 364)


@pytest.mark.parametrize(
    ("rule", "wrong"),
    [
        ("shop_weeklyuse_one_per_year", {"starts_on": YEAR}),
        ("shop_weeklyuse_by_years", {"starts_on": YEAR + timedelta(days=7)}),
        ("shop_weeklyuse_whole_years", {"thousandths": [0] * 51}),
    ],
)
def test_use_has_a_row_for_52_weeks(rule, wrong):
    part = PartFactory()
    receive(part, 4, 12, at(0))
    use(part, 1, 3, at(0))
    right = {"part": part, "starts_on": YEAR + timedelta(days=364), "thousandths": [0] * 52}
    with pgtrigger.ignore("shop.WeeklyUse:shop_weeklyuse_kept_by_ledger"):
        with refused(rule):
            WeeklyUse.objects.create(**right | wrong)
        with accepted():
            WeeklyUse.objects.create(**right)


def test_what_is_used_and_comes_back_is_counted_in_its_own_week_of_52():
    part = PartFactory(unit="metre")
    receive(part, 10, 30, at(0))
    last_of_the_year_before = YEAR - timedelta(weeks=1)
    for quantity, day in ((2, last_of_the_year_before), (Decimal("1.5"), YEAR), (3, YEAR)):
        use(part, quantity, 1, datetime.combine(day, datetime.min.time(), UTC))
    back = {"from_place": outside("used"), "quantity": Decimal("0.125"), "value": 1}
    MoveFactory(part=part, moved_at=at(0), **back)

    rows = WeeklyUse.objects.filter(part=part).order_by("starts_on")
    assert [row.starts_on for row in rows] == [YEAR - timedelta(weeks=52), YEAR]
    assert rows[0].thousandths == [0] * 51 + [2000]
    number = (MONDAYS[0] - YEAR).days // 7
    assert rows[1].thousandths == [4500] + [0] * (number - 1) + [-125] + [0] * (51 - number)


@pytest.mark.parametrize(
    ("moment", "quantity", "value"),
    [
        (at(0, hour=11), 0, 0),
        (at(0, hour=12), 10, 30),
        (at(2), 10, 30),
        (at(3, day=1), 6, 18),
        (at(3, day=2), 8, Decimal("26.50")),
    ],
)
def test_what_was_held_at_any_moment_is_known_to_the_move(moment, quantity, value):
    part = PartFactory()
    receive(part, 10, 30, at(0))
    use(part, 4, 12, at(3))
    receive(part, 2, Decimal("8.50"), at(3, day=2))

    held = parts_held_at(moment).get(pk=part.pk)

    assert (held.held_quantity, held.held_value) == (quantity, value)


@pytest.mark.parametrize(
    ("first_week", "held"),
    [(-1, [0, 10, 10, 10]), (0, [10, 10, 10, 6]), (1, [10, 10, 6, 6]), (9, [6, 6, 6, 6])],
)
def test_what_was_held_at_the_end_of_each_week_goes_on_until_it_changes(first_week, held):
    part = PartFactory()
    receive(part, 10, 30, at(0))
    use(part, 4, 12, at(3))
    first_monday = MONDAYS[0] + timedelta(weeks=first_week)
    assert held_by_week(part, first_monday, 4) == held


def test_what_was_held_is_one_statement_and_reads_one_week_of_moves():
    part = PartFactory()
    for week in range(4):
        receive(part, 10, 30, at(week))
    with CaptureQueriesContext(
        connection,
    ) as captured:
        (held,) = parts_held_at(at(2, day=3))
    assert (held.held_quantity, held.held_value, len(captured)) == (30, 90, 1)
    (statement,) = captured
    plan = sql(f"EXPLAIN (ANALYZE, FORMAT TEXT) {statement['sql']}")
    scans = [line for (line,) in plan if "on shop_move" in line]
    assert scans
    assert all(re.search(r"actual time=\S+ rows=1(\.00)? loops=1", line) for line in scans), plan
