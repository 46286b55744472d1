"""Where in a data logger's file its readings stand: delimiter, header and columns."""

import csv
import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from diagnostics.rules.logger_values import TemperatureUnit

DELIMITERS = (",", ";", "\t", "|")
# Some loggers write their name and settings above the header.
MOST_LINES_ABOVE = 50
LONGEST_HEADER = 10_000

WORD = re.compile(r"[^\W\d_]+")
# Words that make a column one of something else: dew point, wet bulb, absolute humidity, time zone.
OTHER = {"dew", "dewpoint", "wet", "absolute", "zone", "timezone"}
WHOLE_TIME = {"timestamp", "datetime", "taken"}
TEMPERATURE = {"temperature", "temp", "celsius", "fahrenheit"}
HUMIDITY = {"humidity", "rh"}

RECOGNISED = (
    "The header names the time by timestamp, datetime, taken_at, time, or date and time; the"
    " temperature by temperature, temp, Celsius or Fahrenheit; the relative humidity by humidity or"
    " RH. Units and other words may stand beside these."
)


class Role(StrEnum):
    """What a column holds."""

    TIME = "taken_at"
    DATE = "date"
    TEMPERATURE = "temperature"
    HUMIDITY = "humidity_percent"


class LoggerFileError(ValueError):
    """A file that cannot be read as a whole; the message says what to do about it."""


@dataclass(frozen=True)
class Layout:
    """How the rows below line `header_line` (from 1) are read.

    `times` are the columns whose texts make up the time; `unit` is None when the header does not
    say it.
    """

    header_line: int
    delimiter: str
    times: tuple[int, ...]
    temperature: int
    humidity: int
    unit: TemperatureUnit | None

    @property
    def width(self) -> int:
        """How many cells a row has at least."""
        return max(*self.times, self.temperature, self.humidity) + 1


def layout_of(lines: Sequence[str]) -> Layout:
    """Return the layout by the first line that names all columns, with the delimiter that does.

    Raises:
        LoggerFileError: no line is a header, or it names a column twice.
    """
    for number, line in enumerate(lines[: MOST_LINES_ABOVE + 1], start=1):
        for delimiter in DELIMITERS if len(line) <= LONGEST_HEADER else ():
            cells = next(csv.reader([line], delimiter=delimiter), [])
            roles = [_role(_words(cell)) for cell in cells]
            if {Role.TIME, Role.TEMPERATURE, Role.HUMIDITY} <= set(roles):
                return _layout(number, delimiter, cells, roles)
    raise LoggerFileError(f"There is no header row. {RECOGNISED}")


def _layout(
    number: int, delimiter: str, cells: Sequence[str], roles: Sequence[Role | None]
) -> Layout:
    for role in Role:
        named = [cell for cell, found in zip(cells, roles, strict=True) if found == role]
        if len(named) > 1:
            raise LoggerFileError(
                f"The columns {', '.join(map(repr, named))} say the same; leave one of them."
            )
    temperature = roles.index(Role.TEMPERATURE)
    dates = [roles.index(Role.DATE)] if Role.DATE in roles else []
    return Layout(
        header_line=number,
        delimiter=delimiter,
        times=(*dates, roles.index(Role.TIME)),
        temperature=temperature,
        humidity=roles.index(Role.HUMIDITY),
        unit=_unit(_words(cells[temperature])),
    )


def _words(cell: str) -> set[str]:
    return set(WORD.findall(unicodedata.normalize("NFKC", cell).casefold()))


def _role(words: set[str]) -> Role | None:
    if words & OTHER:
        return None
    if words & TEMPERATURE:
        return Role.TEMPERATURE
    if words & HUMIDITY:
        return Role.HUMIDITY
    if words & WHOLE_TIME or "time" in words:
        return Role.TIME
    return Role.DATE if "date" in words else None


def _unit(words: set[str]) -> TemperatureUnit | None:
    if words & {"c", "celsius"}:
        return TemperatureUnit.CELSIUS
    return TemperatureUnit.FAHRENHEIT if words & {"f", "fahrenheit"} else None
