"""Reading the file of a data logger: temperature and relative humidity over weeks."""

import csv
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, tzinfo
from decimal import Decimal

from diagnostics.rules.logger_columns import Layout, LoggerFileError, Role, layout_of
from diagnostics.rules.logger_times import DateOrder, instants_of, logged_time
from diagnostics.rules.logger_values import (
    LoggedValueError,
    TemperatureUnit,
    logged_humidity_percent,
    logged_temperature_c,
)

# A year of readings every ten minutes is 52 704.
MOST_ROWS = 60_000


@dataclass(frozen=True)
class LoggedReading:
    """A reading; `row` counts from 0 below the header, `line` from 1 in the file."""

    row: int
    line: int
    taken_at: datetime
    temperature_c: Decimal
    humidity_percent: Decimal


@dataclass(frozen=True)
class LoggedProblem:
    """What is wrong with a row; `column` is empty when it is so as a whole."""

    row: int
    line: int
    column: str
    code: str
    sentence: str


@dataclass(frozen=True)
class LoggerFile:
    """What a file says, in its order: its readings, and all that is wrong with its rows."""

    readings: list[LoggedReading]
    problems: list[LoggedProblem]


@dataclass(frozen=True)
class LoggerFormat:
    """How to read what a file leaves open.

    Times without an offset are in `zone`; `unit` is that of a temperature whose header says none;
    `date_order` is that of dates without the year in front.
    """

    zone: tzinfo
    unit: TemperatureUnit | None = None
    date_order: DateOrder = DateOrder.YEAR_FIRST


def logger_file_read(text: str, given: LoggerFormat) -> LoggerFile:
    """Return what the file `text` says.

    Numbers may have a decimal comma where the delimiter is another; values are rounded to tenths.

    Raises:
        LoggerFileError: it has no header of known columns, no unit, no rows, or too many.
    """
    lines = text.splitlines(keepends=True)
    layout = layout_of(lines)
    unit = layout.unit or given.unit
    if unit is None:
        raise LoggerFileError("The header has no unit of temperature; say temperature_unit=C or F.")
    readings: list[LoggedReading] = []
    problems: list[LoggedProblem] = []
    for row, (line, cells) in enumerate(_records(lines, layout)):
        if row == MOST_ROWS:
            raise LoggerFileError(f"There are more than {MOST_ROWS} rows; send the file in parts.")
        found = _reading(cells, layout, unit, given.date_order)
        if isinstance(found, dict):
            problems += [
                LoggedProblem(row, line, column, error.code, str(error))
                for column, error in found.items()
            ]
        else:
            readings.append(LoggedReading(row, line, *found))
    if not readings and not problems:
        raise LoggerFileError("There are no rows below the header.")
    return _with_instants(readings, problems, given.zone)


def _records(lines: Sequence[str], layout: Layout) -> Iterator[tuple[int, list[str]]]:
    """Yield each record below the header that is not empty, with the line it starts on."""
    reader = csv.reader(lines[layout.header_line :], delimiter=layout.delimiter, strict=True)
    before = 0
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                yield layout.header_line + before + 1, cells
            before = reader.line_num
    except csv.Error as error:
        line = layout.header_line + before + 1
        raise LoggerFileError(f"Line {line} is not CSV: {error}.") from error


def _reading(
    cells: Sequence[str], layout: Layout, unit: TemperatureUnit, order: DateOrder
) -> tuple[datetime, Decimal, Decimal] | dict[str, LoggedValueError]:
    """Return the time as written, temperature and humidity of a row, or what is wrong by column."""
    if len(cells) < layout.width:
        sentence = f"There are {len(cells)} cells, and {layout.width} are needed."
        return {"": LoggedValueError("wrong-width", sentence)}
    wrong: dict[str, LoggedValueError] = {}
    try:
        time = logged_time(" ".join(cells[column] for column in layout.times), order)
    except LoggedValueError as error:
        wrong[Role.TIME] = error
    try:
        temperature = logged_temperature_c(cells[layout.temperature], unit)
    except LoggedValueError as error:
        wrong[Role.TEMPERATURE] = error
    try:
        humidity = logged_humidity_percent(cells[layout.humidity])
    except LoggedValueError as error:
        wrong[Role.HUMIDITY] = error
    return wrong or (time, temperature, humidity)


def _with_instants(
    readings: list[LoggedReading], problems: list[LoggedProblem], zone: tzinfo
) -> LoggerFile:
    """Return the file with the instants that its times were, and what is wrong with those."""
    dated: list[LoggedReading] = []
    instants = instants_of([reading.taken_at for reading in readings], zone)
    for reading, instant in zip(readings, instants, strict=True):
        if isinstance(instant, LoggedValueError):
            problems.append(
                LoggedProblem(reading.row, reading.line, Role.TIME, instant.code, str(instant))
            )
        else:
            dated.append(replace(reading, taken_at=instant))
    return LoggerFile(dated, sorted(problems, key=lambda problem: problem.row))
