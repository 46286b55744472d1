"""When a data logger read: local times as they write them, and the instants these were."""

import re
from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta, timezone, tzinfo
from enum import StrEnum
from itertools import pairwise

from diagnostics.rules.logger_values import LoggedValueError, quoted

TIME = re.compile(
    r"(?P<first>\d{1,4})[-/.](?P<second>\d{1,2})[-/.](?P<third>\d{1,4})(?:T|[ ,]+)"
    r"(?P<hour>\d{1,2}):(?P<minute>\d{2})(?::(?P<seconds>\d{2})(?:[.,]\d+)?)?"
    r"\s*(?P<half>[AP]M)?(?P<offset>Z|[+-]\d{2}:?\d{2})?",
    re.IGNORECASE | re.ASCII,
)
# Loggers are younger than this, and instants outside it cannot be told in every zone.
FIRST_YEAR, LAST_YEAR = 1970, 2200
CENTURY = 2000


class DateOrder(StrEnum):
    """In which order a date without a four-digit year in front is written."""

    YEAR_FIRST = "ymd"
    DAY_FIRST = "dmy"
    MONTH_FIRST = "mdy"


def logged_time(text: str, order: DateOrder) -> datetime:
    """Return the time that `text` says: aware when it has an offset, else naive.

    A date with a year of four digits in front is read so whatever the order. A year of two digits
    is one of this century.

    Raises:
        LoggedValueError: it is no time, or the order of its date was not said.
    """
    match = TIME.fullmatch(text.strip())
    if match is None:
        raise LoggedValueError("time-unreadable", f"{quoted(text)} is not a date and a time.")
    year, month, day = _date_of(match, order)
    minute, seconds = int(match["minute"]), int(match["seconds"] or 0)
    try:
        hour, zone = _hour_of(match), _offset_of(match["offset"])
        found = datetime(year, month, day, hour, minute, seconds, tzinfo=zone)
    except ValueError as error:
        raise LoggedValueError("time-unreadable", f"{quoted(text)}: {error}.") from error
    if not FIRST_YEAR <= found.year <= LAST_YEAR:
        raise LoggedValueError("time-unreadable", f"{quoted(text)} is in the year {found.year}.")
    return found


def _date_of(match: re.Match[str], order: DateOrder) -> tuple[int, int, int]:
    first, second, third = int(match["first"]), int(match["second"]), int(match["third"])
    if len(match["first"]) == len("2026"):
        return first, second, third
    if order == DateOrder.YEAR_FIRST:
        sentence = f"{quoted(match[0])} has no year in front; say date_order=dmy or date_order=mdy."
        raise LoggedValueError("date-order-unsaid", sentence)
    year = third + CENTURY if third < 100 else third
    return (year, second, first) if order == DateOrder.DAY_FIRST else (year, first, second)


def _hour_of(match: re.Match[str]) -> int:
    hour = int(match["hour"])
    if match["half"] is None:
        return hour
    if not 1 <= hour <= 12:
        raise ValueError("hour must be in 1..12 before AM or PM")
    return hour % 12 + (12 if match["half"].upper() == "PM" else 0)


def _offset_of(text: str | None) -> tzinfo | None:
    if text is None:
        return None
    if text.upper() == "Z":
        return UTC
    minutes = int(text[1:3]) * 60 + int(text[-2:])
    return timezone(timedelta(minutes=-minutes if text[0] == "-" else minutes))


def instants_of(times: Sequence[datetime], zone: tzinfo) -> list[datetime | LoggedValueError]:
    """Return for each time the instant in UTC that it was, or what is wrong with it.

    Naive times are in `zone`. One that clocks left out when they went forward was never. Where they
    went back an hour came twice: it can be told when the times of that hour run on, go back once
    and run on again, as a logger that follows the clocks writes them; else it is an error.
    """
    found: list[datetime | LoggedValueError] = []
    twice: dict[date, list[int]] = {}
    for index, time in enumerate(times):
        local = time if time.tzinfo else time.replace(tzinfo=zone)
        before, after = local.utcoffset(), local.replace(fold=1).utcoffset()
        found.append(local.astimezone(UTC))
        if before is None or after is None or before == after:
            continue
        if before < after:
            sentence = f"Clocks went forward over {time:%Y-%m-%d %H:%M}: there was no such time."
            found[index] = LoggedValueError("time-left-out", sentence)
        else:
            twice.setdefault(time.date(), []).append(index)
    for indexes in twice.values():
        _tell_apart(indexes, times, zone, found)
    return found


def _tell_apart(
    indexes: list[int],
    times: Sequence[datetime],
    zone: tzinfo,
    found: list[datetime | LoggedValueError],
) -> None:
    """Decide for the times of an hour that came twice which of the two each was in."""
    back = [later for earlier, later in pairwise(indexes) if times[later] <= times[earlier]]
    for index in indexes:
        if len(back) == 1:
            fold = int(index >= back[0])
            found[index] = times[index].replace(tzinfo=zone, fold=fold).astimezone(UTC)
        else:
            sentence = (
                f"Clocks went back over {times[index]:%Y-%m-%d %H:%M}, which came twice; write"
                " such times with their offset, such as +01:00."
            )
            found[index] = LoggedValueError("time-came-twice", sentence)
