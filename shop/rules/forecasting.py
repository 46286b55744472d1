"""What the coming week will use of a part, by the method that has erred least on its past.

A method turns demand, in units a week, into a forecast of each week, made from the weeks before it,
and of the week to come: one more than there are weeks.
"""

import statistics
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import sqrt

# Croston's own range is 0.1 to 0.2; one value for all parts keeps one odd week from moving much.
SMOOTHING = 0.1
# Estimates: a quarter of a year, before which one busy week says little of the next, and how many
# weeks tell which method does well.
LEAST_WEEKS = 13
LEAST_WEEKS_TO_TEST = 16


class Method(StrEnum):
    """How a forecast is made."""

    MEAN = "mean"
    EXPONENTIAL_SMOOTHING = "exponential_smoothing"
    CROSTON = "croston"
    SYNTETOS_BOYLAN = "syntetos_boylan"


@dataclass(frozen=True)
class Forecast:
    """Units a week, and the root mean square of what the forecasts missed by.

    `errors` are those of all methods over the last `tested_weeks`, empty when there were too few
    weeks to choose by.
    """

    method: Method
    per_week: float
    error: float
    tested_weeks: int
    errors: dict[Method, float]


def means(demand: Sequence[float]) -> list[float]:
    """Return the mean of all weeks before each."""
    forecasts, total = [0.0], 0.0
    for weeks, quantity in enumerate(demand, start=1):
        total += quantity
        forecasts.append(total / weeks)
    return forecasts


def smoothed(demand: Sequence[float], smoothing: float = SMOOTHING) -> list[float]:
    """Return simple exponential smoothing, begun at the first week's demand.

    Source: Hyndman and Athanasopoulos, "Forecasting: Principles and Practice", section on simple
    exponential smoothing.
    """
    level = demand[0] if demand else 0.0
    forecasts = [level]
    for quantity in demand:
        level += smoothing * (quantity - level)
        forecasts.append(level)
    return forecasts


def croston(demand: Sequence[float], smoothing: float = SMOOTHING) -> list[float]:
    """Return Croston's forecasts: the smoothed size over the smoothed interval.

    Both begin at the first demand: its size, and the number of weeks to it. Other programs begin
    otherwise, and differ for it.

    Source: Croston, "Forecasting and stock control for intermittent demands", Operational Research
    Quarterly 23 (1972), 289-303.
    """
    forecast = size = interval = 0.0
    forecasts, since = [0.0], 0
    for quantity in demand:
        since += 1
        if quantity:
            if interval:
                size += smoothing * (quantity - size)
                interval += smoothing * (since - interval)
            else:
                size, interval = quantity, 1.0 * since
            forecast, since = size / interval, 0
        forecasts.append(forecast)
    return forecasts


def syntetos_boylan(crostons: Sequence[float], smoothing: float = SMOOTHING) -> list[float]:
    """Return Croston's forecasts less their bias.

    Source: Syntetos and Boylan, "The accuracy of intermittent demand estimates", International
    Journal of Forecasting 21 (2005), 303-314.
    """
    return [forecast * (1 - smoothing / 2) for forecast in crostons]


def all_forecasts(demand: Sequence[float]) -> dict[Method, list[float]]:
    """Return what each method forecasts of each week, and of the week to come."""
    crostons = croston(demand)
    return {
        Method.MEAN: means(demand),
        Method.EXPONENTIAL_SMOOTHING: smoothed(demand),
        Method.CROSTON: crostons,
        Method.SYNTETOS_BOYLAN: syntetos_boylan(crostons),
    }


def forecast(demand: Sequence[float]) -> Forecast:
    """Return the forecast of the method that missed the later half of the weeks by least.

    With too few weeks to tell, it is their mean, and what it misses by their standard deviation;
    of what is known for less than a quarter, nothing is taken to have been asked for before.
    """
    if len(demand) < LEAST_WEEKS_TO_TEST or not any(demand):
        weeks = [0.0] * (LEAST_WEEKS - len(demand)) + list(demand)
        return Forecast(Method.MEAN, means(weeks)[-1], statistics.stdev(weeks), 0, {})
    made = all_forecasts(demand)
    first = len(demand) // 2
    tested = demand[first:]
    errors = {method: _error(forecasts[first:], tested) for method, forecasts in made.items()}
    best = min(errors, key=lambda method: errors[method])
    return Forecast(best, made[best][-1], errors[best], len(tested), errors)


def _error(forecasts: Sequence[float], demand: Sequence[float]) -> float:
    misses = [made - met for made, met in zip(forecasts, demand, strict=False)]
    return sqrt(sum([miss * miss for miss in misses]) / len(misses))
