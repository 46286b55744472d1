"""The numbers that a data logger writes: temperatures and relative humidities."""

import re
from decimal import ROUND_HALF_UP, Decimal
from enum import StrEnum

NUMBER = re.compile(r"[-+]?\d{1,9}(?:[.,]\d{1,9})?", re.ASCII)
TENTH = Decimal("0.1")
# What a room can have, and the equation for wood takes.
TEMPERATURE_C = (Decimal(-30), Decimal(60))
HUMIDITY_PERCENT = (TENTH, Decimal(100))
LONGEST_QUOTE = 40


class TemperatureUnit(StrEnum):
    """A scale of temperature."""

    CELSIUS = "C"
    FAHRENHEIT = "F"


class LoggedValueError(ValueError):
    """A cell that cannot be read; `code` is a stable word for a program."""

    def __init__(self, code: str, sentence: str) -> None:
        super().__init__(sentence)
        self.code = code


def logged_temperature_c(text: str, unit: TemperatureUnit) -> Decimal:
    """Return a temperature in degrees Celsius, rounded to tenths.

    Raises:
        LoggedValueError: it is no number, or no room is so cold or hot.
    """
    number = _number(text)
    celsius = (number - 32) * 5 / 9 if unit == TemperatureUnit.FAHRENHEIT else number
    return _within(TEMPERATURE_C, _tenths(celsius), "°C", text)


def logged_humidity_percent(text: str) -> Decimal:
    """Return a relative humidity, rounded to tenths.

    Raises:
        LoggedValueError: it is no number, or no relative humidity.
    """
    return _within(HUMIDITY_PERCENT, _tenths(_number(text)), "%", text)


def quoted(text: str) -> str:
    """Return so much of `text`, in quotes, as it takes to find it."""
    return repr(text[:LONGEST_QUOTE])


def _number(text: str) -> Decimal:
    if not NUMBER.fullmatch(text.strip()):
        raise LoggedValueError("number-unreadable", f"{quoted(text)} is not a number.")
    return Decimal(text.strip().replace(",", "."))


def _tenths(number: Decimal) -> Decimal:
    return number.quantize(TENTH, ROUND_HALF_UP)


def _within(bounds: tuple[Decimal, Decimal], value: Decimal, unit: str, text: str) -> Decimal:
    lowest, highest = bounds
    if not lowest <= value <= highest:
        sentence = f"{quoted(text)} is outside {lowest} to {highest} {unit}."
        raise LoggedValueError("out-of-range", sentence)
    return value
