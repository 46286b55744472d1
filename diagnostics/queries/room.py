"""The room an instrument stands in: its days, and whether it explains tight cloth."""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any

from django.db.models import Avg, Count, Max, Min, QuerySet
from django.db.models.functions import TruncDate
from django.utils import timezone

from diagnostics.models import ReadingPlace, RoomReading
from diagnostics.queries.woods import WoodMovement
from diagnostics.rules.room import (
    RECENT,
    HumidityLimits,
    Reading,
    RoomDay,
    RoomVerdict,
    WantedHumidity,
    room_verdict,
)
from shop.models import Instrument, ShopProfile


@dataclass(frozen=True)
class Room:
    """The days of a room from `since` to `until`, both included, and the verdict at their end.

    `movement` is that of a piece of wood and `wanted` the humidity for a moisture content, when
    they are asked for.
    """

    instrument: Instrument
    place: str
    since: date
    until: date
    limits: HumidityLimits
    days: list[RoomDay]
    verdict: RoomVerdict
    movement: WoodMovement | None = None
    wanted: WantedHumidity | None = None


def humidity_limits() -> HumidityLimits:
    """Return the relative humidities that the shop aims at and accepts."""
    profile = ShopProfile.objects.get()
    return HumidityLimits(
        target_percent=float(profile.humidity_target_percent),
        lowest_percent=float(profile.humidity_lowest_percent),
        highest_percent=float(profile.humidity_highest_percent),
    )


def room_of(instrument: Instrument, *, since: date, until: date, place: str | None = None) -> Room:
    """Return the room from `since` to `until`, days of the shop's time zone.

    Without a `place` it is that of the newest reading.
    """
    end = day_begins(until + timedelta(days=1))
    before = min(day_begins(since), end - RECENT)
    found, days = _days(instrument, before, end, place)
    limits = humidity_limits()
    return Room(
        instrument=instrument,
        place=found,
        since=since,
        until=until,
        limits=limits,
        days=[day for day in days if day.on >= since],
        verdict=room_verdict([day.mean for day in days], at=end, limits=limits),
    )


def room_verdict_at(instrument: Instrument, at: datetime) -> RoomVerdict:
    """Return whether the room explains tight cloth at `at`, by the place that was read last."""
    _, days = _days(instrument, at - RECENT, at, None)
    return room_verdict([day.mean for day in days], at=at, limits=humidity_limits())


def day_begins(day: date) -> datetime:
    """Return the instant at which a day begins in the shop's time zone."""
    return datetime.combine(day, time.min, timezone.get_default_timezone())


def _days(
    instrument: Instrument, first_at: datetime, last_at: datetime, place: str | None
) -> tuple[str, list[RoomDay]]:
    """Return the place, and a row for each day that has readings there, in one statement."""
    rows = RoomReading.objects.filter(instrument=instrument, taken_at__range=(first_at, last_at))
    if place is not None:
        rows = rows.filter(place=place)
    summed = _summed(rows)
    newest = max(summed, key=lambda row: row["last_at"], default=None)
    found = place or (newest["place"] if newest else ReadingPlace.ROOM.value)
    return found, [_day(row) for row in summed if row["place"] == found]


def _summed(rows: QuerySet[RoomReading]) -> list[dict[str, Any]]:
    on = TruncDate("taken_at", tzinfo=timezone.get_default_timezone())
    summed = (
        rows.values("place", on=on)
        .annotate(
            readings_count=Count("pk"),
            last_at=Max("taken_at"),
            **{
                f"{name}_{column}": function(column)
                for column in ("temperature_c", "humidity_percent")
                for name, function in (("mean", Avg), ("lowest", Min), ("highest", Max))
            },
        )
        .order_by("on", "place")
    )
    return [dict(row) for row in summed]


def _day(row: dict[str, Any]) -> RoomDay:
    return RoomDay(
        on=row["on"],
        readings_count=row["readings_count"],
        mean=Reading(
            taken_at=row["last_at"],
            temperature_c=float(row["mean_temperature_c"]),
            humidity_percent=float(row["mean_humidity_percent"]),
        ),
        lowest_temperature_c=float(row["lowest_temperature_c"]),
        highest_temperature_c=float(row["highest_temperature_c"]),
        lowest_humidity_percent=float(row["lowest_humidity_percent"]),
        highest_humidity_percent=float(row["highest_humidity_percent"]),
    )
