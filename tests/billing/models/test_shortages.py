from datetime import date, timedelta
from decimal import Decimal

import pgtrigger
import pytest
from django.db import connection

from billing.models import WeeklyShortage
from tests.billing.queries.test_demand import bag, become, in_weeks, lack
from tests.factories.shop import PartFactory
from tests.factories.world import NOW, TODAY, stock
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db

KEPT = "billing.WeeklyShortage:billing_weeklyshortage_kept_by_ledger"


def sql(statement: str) -> None:
    with connection.cursor() as cursor:
        cursor.execute(statement)


def stored():
    return set(WeeklyShortage.objects.values_list("part", "starts_on", "quantity"))


def some_shortages():
    """Jobs of two weeks that are done, with and without what they lacked, and others."""
    felt, wire = PartFactory(), PartFactory()
    stock(felt, 9, 1)
    for part, week, bagged, status in [
        (felt, 0, 0, "completed"),
        (felt, 0, 3, "completed"),
        (felt, 1, 4, "completed"),
        (wire, 1, 0, "completed"),
        (wire, 1, 0, "approved"),
        (wire, 1, 0, "declined"),
    ]:
        line = lack(part, in_weeks(week))
        if bagged:
            bag(line, bagged)
        become(line.quote, status)
    return felt, wire


def test_a_done_job_adds_what_it_went_without_to_the_week_of_its_quote():
    felt, wire = some_shortages()
    # Four are wanted each time.
    assert stored() == {(felt.pk, TODAY, 5), (wire.pk, TODAY + timedelta(weeks=1), 4)}


def test_what_a_revision_took_out_of_the_bag_was_not_left_over():
    part = PartFactory()
    stock(part, 9, 1)
    line = lack(part, NOW - timedelta(hours=1), quantity=12)
    bag(line, 8)
    bag(line, 4, back=True, moved_at=NOW - timedelta(hours=2))
    bag(line, 5)
    become(line.quote, "completed")
    assert WeeklyShortage.objects.get().quantity == 3


def test_a_job_is_counted_once():
    part = PartFactory()
    line = lack(part)
    become(line.quote, "completed")
    sql("UPDATE billing_quote SET status = status")
    assert WeeklyShortage.objects.get().quantity == 4


@pytest.mark.parametrize(
    "statement",
    ["UPDATE {} SET quantity = 9", "DELETE FROM {}", "INSERT INTO {0} TABLE {0}"],
)
def test_shortages_are_written_by_done_jobs_alone(statement):
    part = PartFactory()
    become(lack(part).quote, "completed")
    with refused("billing_weeklyshortage_kept_by_ledger"):
        sql(statement.format("billing_weeklyshortage"))
    with accepted():
        become(lack(part).quote, "completed")


@pytest.mark.parametrize(
    ("rule", "wrong"),
    [
        ("billing_weeklyshortage_one_per_week", {"starts_on": TODAY}),
        ("billing_weeklyshortage_positive", {"quantity": 0}),
        ("billing_weeklyshortage_on_monday", {"starts_on": date(2026, 3, 10)}),
    ],
)
def test_a_shortage_is_that_of_one_week(rule, wrong):
    part = PartFactory()
    become(lack(part).quote, "completed")
    right = {"part": part, "starts_on": date(2026, 3, 9), "quantity": Decimal(1)}
    # The ledger refuses it first; without that the database still does.
    with pgtrigger.ignore(KEPT):
        with refused(rule):
            WeeklyShortage.objects.create(**right | wrong)
        with accepted():
            WeeklyShortage.objects.create(**right)
