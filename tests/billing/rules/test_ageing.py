from datetime import date

import pytest

from billing.rules.ageing import bucket_names, bucket_of, days_overdue

LIMITS = [30, 60, 90]  # common practice


# What is due today is not overdue; day 30 still belongs to "1 to 30".
@pytest.mark.parametrize(
    ("days", "bucket"),
    [
        (0, "not due"),
        (1, "1 to 30"),
        (30, "1 to 30"),
        (31, "31 to 60"),
        (60, "31 to 60"),
        (61, "61 to 90"),
        (91, "over 90"),
    ],
)
def test_a_debt_is_in_the_bucket_of_its_days(days, bucket):
    assert bucket_names(LIMITS)[bucket_of(days, LIMITS)] == bucket


def test_one_limit_makes_three_buckets():
    assert bucket_names([14]) == ["not due", "1 to 14", "over 14"]


def test_days_overdue_begin_after_the_due_day():
    due_on = date(2028, 2, 28)
    assert days_overdue(due_on, date(2028, 2, 1)) == 0
    assert days_overdue(due_on, due_on) == 0
    assert days_overdue(due_on, date(2028, 3, 1)) == 2  # 2028 is a leap year
