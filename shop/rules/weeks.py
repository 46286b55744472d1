"""Weeks, by which demand is counted and stock is summed up: ISO 8601's, in UTC."""

from datetime import UTC, date, datetime, time, timedelta

# A Monday to count weeks from, and as many weeks as one row of use has.
FIRST_MONDAY = date(2001, 1, 1)
WEEKS_TOGETHER = 52


def week_of(moment: datetime) -> date:
    """Return the Monday of the week that `moment` is in."""
    day = moment.astimezone(UTC).date()
    return day - timedelta(days=day.weekday())


def beginning(monday: date) -> datetime:
    """Return the instant at which the week of `monday` begins."""
    return datetime.combine(monday, time.min, UTC)


def week_number(monday: date) -> int:
    """Return how many weeks the one of `monday` is after the first of 2001."""
    return (monday - FIRST_MONDAY).days // 7


def monday_of(number: int) -> date:
    """Return the Monday of the week that is so many after the first of 2001."""
    return FIRST_MONDAY + timedelta(weeks=number)


def year_of(monday: date) -> date:
    """Return the first day of the 52 weeks that the week of `monday` is one of."""
    return monday_of(week_number(monday) // WEEKS_TOGETHER * WEEKS_TOGETHER)
