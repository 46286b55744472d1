"""Readings of an instrument's room in bulk: a list of them, or the file of a data logger."""

from collections.abc import Mapping
from typing import IO, Any

from django.db.models import QuerySet
from django.utils import timezone
from rest_framework import serializers
from rest_framework.response import Response

from diagnostics.actions.readings import ReadingDraft, readings_record
from diagnostics.api.readings import ReadingValuesInput
from diagnostics.models import ReadingPlace
from diagnostics.rules.logger_columns import RECOGNISED, LoggerFileError
from diagnostics.rules.logger_file import MOST_ROWS, LoggerFormat, logger_file_read
from diagnostics.rules.logger_times import DateOrder
from diagnostics.rules.logger_values import TemperatureUnit
from shop.errors import FieldError
from shop.http.csv_parsers import CSVParser
from shop.http.field_errors import pointer_to
from shop.http.parsers import StrictJSONParser, text_of
from shop.http.permissions import EVERYONE, grants
from shop.http.problems import RequestProblem
from shop.http.serializers import InstantField, StrictSerializer
from shop.http.verbs import verb
from shop.http.views import ShopViewSet
from shop.models import Instrument

BODY_LIMIT_BYTES = 8 * 1024 * 1024


class LoggerParser(CSVParser):
    """Reads the file of a data logger as it is; what its rows say is read later, by its columns."""

    def parse(  # type: ignore[override]  # a text is as good
        self,
        stream: IO[Any],
        media_type: str | None = None,
        parser_context: Mapping[str, Any] | None = None,  # noqa: ARG002 (REST framework passes it)
    ) -> str:
        """Return the text.

        Raises:
            RequestProblem: `malformed-csv`, it is not UTF-8.
        """
        return text_of(stream.read(), media_type, "malformed-csv")

    def described(self, serializer: Any) -> str:  # noqa: ARG002 (its columns are the logger's own)
        """Return what a file looks like."""
        return (
            "The file of a data logger: CSV in UTF-8 with comma, semicolon, tab or bar between the"
            f" cells and at most {MOST_ROWS} rows. {RECOGNISED} Other columns, and lines above the"
            " header, are passed over. Times without an offset are in the shop's time zone; a time"
            " that clocks left out is refused, and the hour that came twice is told apart when the"
            " file runs through it twice, else refused. One bad row refuses the file."
        )


class LoggerQuery(StrictSerializer):
    """Where the readings were taken, and what a file leaves open."""

    place = serializers.ChoiceField(choices=ReadingPlace.choices, default=ReadingPlace.ROOM)
    temperature_unit = serializers.ChoiceField(
        choices=[unit.value for unit in TemperatureUnit],
        default=None,
        help_text="Of a file whose header does not say it.",
    )
    date_order = serializers.ChoiceField(
        choices=[order.value for order in DateOrder],
        default=DateOrder.YEAR_FIRST.value,
        help_text="Of dates in a file that do not begin with a year of four digits.",
    )


class ReadingsKeptOutput(serializers.Serializer[Any]):
    """How many readings were new, and how many were kept before with the same values."""

    stored_count = serializers.IntegerField()
    known_count = serializers.IntegerField()
    first_at = InstantField()
    last_at = InstantField()


class InstrumentReadingsViewSet(ShopViewSet):
    """The readings of an instrument's room, sent in bulk."""

    model = Instrument
    roles = grants(read=EVERYONE, write=EVERYONE)

    def rows(self) -> QuerySet[Instrument]:
        """Return the instruments: everybody in the shop may see them."""
        return Instrument.objects.all()

    @verb(
        takes=ReadingValuesInput,
        gives=ReadingsKeptOutput,
        takes_list=True,
        query=LoggerQuery,
        parser_classes=[StrictJSONParser, LoggerParser],
        body_limit_bytes=BODY_LIMIT_BYTES,
    )
    def readings(self) -> Response:
        """Keep one reading, a list of them, or the file of a data logger: all of it, or nothing.

        A reading that is kept already with the same values is passed over, so that a logger may
        send its whole memory again; with other values it is a conflict.
        """
        instrument, asked = self.found(), self.checked_query()
        drafts, errors = self._drafts()
        kept = readings_record(
            instrument=instrument,
            place=asked["place"],
            drafts=drafts,
            errors=errors,
            user=self.user,
            now=timezone.now(),
        )
        return self.shown(kept)

    def _drafts(self) -> tuple[list[ReadingDraft], list[FieldError]]:
        body = self.request.data
        if isinstance(body, str):
            return self._logged(body)
        rows, errors = self.checked_rows()
        return [ReadingDraft(pointer, **values) for pointer, values in rows], errors

    def _logged(self, text: str) -> tuple[list[ReadingDraft], list[FieldError]]:
        asked = self.checked_query()
        unit = asked["temperature_unit"]
        given = LoggerFormat(
            zone=timezone.get_default_timezone(),
            unit=TemperatureUnit(unit) if unit else None,
            date_order=DateOrder(asked["date_order"]),
        )
        try:
            file = logger_file_read(text, given)
        except LoggerFileError as error:
            raise RequestProblem("malformed-csv", str(error)) from error
        drafts = [
            ReadingDraft(
                pointer=pointer_to(each.row),
                taken_at=each.taken_at,
                temperature_c=each.temperature_c,
                humidity_percent=each.humidity_percent,
                line=each.line,
            )
            for each in file.readings
        ]
        errors = [
            FieldError(
                pointer_to(each.row, *filter(None, [each.column])),
                each.code,
                f"Line {each.line}: {each.sentence}",
            )
            for each in file.problems
        ]
        return drafts, errors
