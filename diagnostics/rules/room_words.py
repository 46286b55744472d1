"""What the chart of a room says in words, as a picture and as text."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from diagnostics.rules.keyboard_words import plural
from diagnostics.rules.room import RoomDay


@dataclass(frozen=True)
class RoomSpan:
    """The days that a chart shows, both ends included."""

    since: date
    until: date

    @property
    def count(self) -> int:
        """How many days these are."""
        return (self.until - self.since).days + 1


def day_words(day: RoomDay) -> str:
    """Return a day in words."""
    mean = day.mean
    return (
        f"{day.on}: {mean.humidity_percent:.0f} % ({day.lowest_humidity_percent:.0f} to"
        f" {day.highest_humidity_percent:.0f}), {mean.temperature_c:.1f} °C"
        f" ({day.lowest_temperature_c:.1f} to {day.highest_temperature_c:.1f}), wood"
        f" {mean.moisture_percent:.1f} %, {plural(day.readings_count, 'reading')}"
    )


def span_words(days: Sequence[RoomDay], span: RoomSpan) -> list[str]:
    """Return how much was read in a span of days, and between which ends."""
    period = f"{span.since} to {span.until}"
    if not days:
        return [f"{period}: no readings"]
    readings = sum(day.readings_count for day in days)
    moisture = [day.mean.moisture_percent for day in days]
    return [
        f"{period}: {plural(readings, 'reading')} on {plural(len(days), 'day')}",
        (
            f"Humidity {min(day.lowest_humidity_percent for day in days):.0f} to"
            f" {max(day.highest_humidity_percent for day in days):.0f} %, temperature"
            f" {min(day.lowest_temperature_c for day in days):.1f} to"
            f" {max(day.highest_temperature_c for day in days):.1f} °C, wood settles at"
            f" {min(moisture):.1f} to {max(moisture):.1f} % moisture content"
        ),
    ]
