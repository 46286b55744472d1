"""The room that an instrument stands in: its days, its verdict, and a chart of both."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from functools import partial

from django.db.models import QuerySet
from django.utils import timezone
from rest_framework import serializers
from rest_framework.response import Response

from diagnostics.api.room_examples import ROOM, ROOM_DRAWN
from diagnostics.api.room_outputs import RoomOutput
from diagnostics.models import ReadingPlace
from diagnostics.queries.instruments import name_of
from diagnostics.queries.room import Room, room_of
from diagnostics.queries.woods import WoodMovement, wood_movement
from diagnostics.rules.pictures.room import room_svg
from diagnostics.rules.room import WantedHumidity, wanted_humidity
from diagnostics.rules.room_text import room_text
from diagnostics.rules.room_words import RoomSpan
from shop.errors import ParameterError
from shop.http.filters import invalid_query
from shop.http.permissions import EVERYONE, grants
from shop.http.pictures import Drawn, PictureQuery
from shop.http.serializers import StrictSerializer
from shop.http.verbs import picture, report
from shop.http.views import Values
from shop.models import Instrument, WoodSpecies

USUAL_DAYS, MOST_DAYS = 90, 1100
PLACES: dict[str, str] = {
    ReadingPlace.ROOM: "the room",
    ReadingPlace.INSIDE: "inside the instrument",
}


class RoomQuery(StrictSerializer):
    """Which days, both ends included, in the shop's time zone: the last 90 when left out."""

    since = serializers.DateField(default=None)
    until = serializers.DateField(default=None, help_text="Today when it is left out.")
    place = serializers.ChoiceField(
        choices=ReadingPlace.choices,
        default=None,
        help_text="Where the readings were taken; where the newest was when it is left out.",
    )

    def validate(self, attrs: Values) -> Values:
        """Return the values with the days that were left out.

        Raises:
            ValidationError: the days do not follow each other, are too many, or to come.
        """
        today = timezone.localdate(timezone=timezone.get_default_timezone())
        until = attrs["until"] or today
        if until > today:
            raise _wrong("until", "out-of-range", f"It lies after {today}, today.")
        since = attrs["since"] or until - timedelta(days=USUAL_DAYS - 1)
        if since > until:
            raise _wrong("since", "after-until", f"It lies after {until}, the last day.")
        if (until - since).days >= MOST_DAYS:
            raise _wrong("since", "too-many-days", f"Ask for at most {MOST_DAYS} days at once.")
        return {**attrs, "since": since, "until": until}


class RoomWoodQuery(RoomQuery):
    """Of which wood a movement is wanted, how wide the piece is, and how moist wood should be."""

    species = serializers.SlugRelatedField(
        slug_field="code",
        queryset=WoodSpecies.objects.all(),
        default=None,
        help_text="The wood of the instrument's keys when it is left out.",
    )
    width_mm = serializers.DecimalField(
        max_digits=6,
        decimal_places=1,
        min_value=Decimal("0.1"),
        default=None,
        help_text="Of a key about 22.5; no movement is told when it is left out.",
    )
    moisture_percent = serializers.DecimalField(
        max_digits=3,
        decimal_places=1,
        min_value=Decimal("0.1"),
        default=None,
        help_text="A moisture content; the humidity that gives it is told.",
    )


class RoomChartQuery(RoomQuery, PictureQuery):
    """Which days, and how text is set."""


def _wrong(name: str, code: str, sentence: str) -> serializers.ValidationError:
    return serializers.ValidationError({name: serializers.ErrorDetail(sentence, code)})


class RoomViewSet(Drawn):
    """The room that an instrument stands in."""

    model = Instrument
    roles = grants(read=EVERYONE)
    output = RoomOutput

    def rows(self) -> QuerySet[Instrument]:
        """Return the instruments: everybody in the shop may see them."""
        return Instrument.objects.select_related("key_wood")

    @report(gives=RoomOutput, query=RoomWoodQuery, of_one=True, example=ROOM)
    def room(self) -> Response:
        """Return the days, the verdict at their end, how far wood moves, the humidity to aim at."""
        asked = self.checked_query()
        room = self._room(asked)
        movement, wanted = self._movement(room, asked), self._wanted(room, asked)
        return self.shown(replace(room, movement=movement, wanted=wanted))

    @picture(path="room-chart", query=RoomChartQuery, example=ROOM_DRAWN)
    def room_chart(self) -> Response:
        """Return humidity, temperature and moisture content day by day, with what is aimed at."""
        room = self._room(self.checked_query())
        span = RoomSpan(room.since, room.until)
        title = f"{name_of(room.instrument)}: {PLACES[room.place]}"
        what = (room.days, span, room.limits, room.verdict.sentence)
        return self.drawn(
            partial(room_svg, *what, title=title), partial(room_text, *what, title=title)
        )

    def _room(self, asked: Values) -> Room:
        return room_of(
            self.found(), since=asked["since"], until=asked["until"], place=asked["place"]
        )

    def _movement(self, room: Room, asked: Values) -> WoodMovement | None:
        species, width_mm = asked["species"] or room.instrument.key_wood, asked["width_mm"]
        if width_mm is None:
            return None
        if species is None:
            sentence = "Say which wood; that of this instrument's keys is not known."
            raise invalid_query([ParameterError("species", "required", sentence)])
        return wood_movement(room.verdict, room.days, species, width_mm)

    def _wanted(self, room: Room, asked: Values) -> WantedHumidity | None:
        moisture, evidence = asked["moisture_percent"], room.verdict.evidence
        if moisture is None or evidence is None:
            return None
        try:
            return wanted_humidity(evidence.now.temperature_c, float(moisture))
        except ValueError as error:
            wrong = ParameterError("moisture_percent", "out-of-range", str(error))
            raise invalid_query([wrong]) from error
