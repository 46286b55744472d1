from datetime import date
from decimal import Decimal

import pytest

from billing.rules.reminding import (
    Reminded,
    Settled,
    Step,
    filled,
    late_interest,
    next_step,
    unknown_placeholders,
)

STEPS = [Step(1, 7), Step(2, 21), Step(4, 35)]
DUE_ON = date(2026, 3, 16)


def march(day):
    return date(2026, 3, day)


@pytest.mark.parametrize(
    ("today", "last", "level"),
    [
        (march(16), None, None),  # due today
        (march(22), None, None),  # six days late
        (march(23), None, 1),
        (date(2026, 6, 1), None, 1),  # none is left out
        (march(23), Reminded(1, march(23)), None),  # not twice
        (date(2026, 4, 6), Reminded(1, march(23)), 2),
        # Reminded late, so the fourteen days between the levels are waited for.
        (date(2026, 6, 14), Reminded(1, date(2026, 6, 1)), None),
        (date(2026, 6, 15), Reminded(1, date(2026, 6, 1)), 2),
        (date(2026, 6, 29), Reminded(2, date(2026, 6, 15)), 4),
        (date(2027, 6, 1), Reminded(4, date(2026, 6, 29)), None),  # none is left
        # Reminded at a level that was since removed.
        (date(2026, 6, 29), Reminded(3, date(2026, 6, 15)), 4),
    ],
)
def test_each_reminder_waits_for_its_day_and_for_the_one_before(today, last, level):
    step = next_step(STEPS, DUE_ON, last, today)
    assert (step.level if step else None) == level


def test_where_the_lower_levels_were_removed_the_days_of_the_next_are_waited_for():
    steps, last = [Step(2, 21)], Reminded(1, march(23))
    assert next_step(steps, DUE_ON, last, date(2026, 4, 12)) is None
    assert next_step(steps, DUE_ON, last, date(2026, 4, 13)) == Step(2, 21)


def test_without_levels_nobody_is_reminded():
    assert next_step([], DUE_ON, None, date(2027, 1, 1)) is None


def interest(owed, percent, days, *settled, decimals=2):
    until = date.fromordinal(DUE_ON.toordinal() + days)
    values = {"due_on": DUE_ON, "until": until, "percent": Decimal(percent), "decimals": decimals}
    return late_interest(Decimal(owed), [Settled(*each) for each in settled], **values)


@pytest.mark.parametrize(
    ("owed", "percent", "days", "expected"),
    [
        # GOV.UK, "Late commercial payments: charging interest and debt recovery" (from memory):
        # 1000 at 8.5 % is 85 a year and 0.23 a day.
        (1000, "8.5", 365, "85.00"),
        (1000, "8.5", 1, "0.23"),
        # By hand: 12000 * 0.13 * 90 / 365 = 384.6575...
        (12000, "13", 90, "384.66"),
        (1000, "8.5", 0, "0.00"),
    ],
)
def test_interest_is_simple_and_by_days_of_a_year_of_365(owed, percent, days, expected):
    assert interest(owed, percent, days) == Decimal(expected)


def test_a_leap_year_has_a_day_more_of_interest():
    until = date(2028, 3, 16)
    found = late_interest(
        Decimal(1000),
        [],
        due_on=date(2027, 3, 16),
        until=until,
        percent=Decimal("8.5"),
        decimals=2,
    )
    assert found == Decimal("85.23")  # 85 * 366 / 365 = 85.2328...


def test_interest_runs_on_what_was_open_day_by_day():
    # By hand, at 36.5 % a year, which is a thousandth a day: ten days on 1000, five on 400.
    paid = (march(26), Decimal(600))
    assert interest(1000, "36.5", 15, paid) == Decimal("12.00")
    # What came before the due day, or was never owed, bears none.
    assert interest(1000, "36.5", 10, (march(1), Decimal(500))) == Decimal("5.00")
    assert interest(1000, "36.5", 10, (date.min, Decimal(500))) == Decimal("5.00")
    # A payment that bounced was open from the day on which it was taken back.
    bounced = (march(28), Decimal(-600))
    assert interest(1000, "36.5", 15, paid, bounced) == Decimal("13.80")
    assert interest(1000, "36.5", 10, paid) == Decimal("10.00")
    # Credited with 700 of what had been paid: 300 open for ten days, none while 600 were paid.
    credited = (date.min, Decimal(700))
    assert interest(1000, "36.5", 15, credited, paid, bounced) == Decimal("3.90")
    assert interest(1000, "36.5", 15, credited, paid) == Decimal("3.00")


def test_interest_has_the_decimals_of_the_currency():
    assert interest(1000, "8.5", 1, decimals=0) == 0
    assert interest(1000, "8.5", 1, decimals=3) == Decimal("0.233")


def test_a_text_names_only_what_a_reminder_says():
    assert unknown_placeholders("$client owes ${total}, in $$.") == []
    assert unknown_placeholders("$client owes $everything") == ["everything"]
    assert unknown_placeholders("5 $ each") == ["$"]
    assert filled("Invoice $number: $open", {"number": "7", "open": "5 EUR"}) == "Invoice 7: 5 EUR"
