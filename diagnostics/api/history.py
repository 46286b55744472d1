"""What has happened to the notes of an instrument over the years."""

from typing import Any

from django.db.models import QuerySet
from rest_framework import serializers
from rest_framework.response import Response

from diagnostics.api.bench_work import BenchWorkOutput
from diagnostics.api.findings import FindingOutput
from diagnostics.api.notes import NamingQuery, NoteField, notes_asked
from diagnostics.queries.history import MOST_ROWS, history_of
from diagnostics.queries.instruments import compass_of
from shop.http.permissions import EVERYONE, grants
from shop.http.verbs import report
from shop.http.views import ShopViewSet
from shop.models import Instrument


class HistoryQuery(NamingQuery):
    """Which notes; all of them when it is left out."""

    note = NoteField()


class HistoryOutput(serializers.Serializer[Any]):
    """What was found and done, newest first, also on the whole instrument, which concerns each."""

    instrument = serializers.IntegerField(source="instrument.pk")
    findings = FindingOutput(many=True)
    bench_work = BenchWorkOutput(many=True)
    is_complete = serializers.BooleanField(
        help_text=f"Not when there are more than {MOST_ROWS} of either: these are the newest, and "
        "the lists of findings and of bench work have all."
    )


class InstrumentHistoryViewSet(ShopViewSet):
    """The history of an instrument."""

    model = Instrument
    roles = grants(read=EVERYONE)
    output = HistoryOutput

    def rows(self) -> QuerySet[Instrument]:
        """Return the instruments: everybody in the shop may see them."""
        return Instrument.objects.all()

    @report(gives=HistoryOutput, query=HistoryQuery, of_one=True)
    def history(self) -> Response:
        """Return the findings and bench work on the notes asked for, or on all."""
        instrument, asked = self.found(), self.checked_query()
        compass = compass_of(instrument)
        text = asked["note"]
        notes = notes_asked(text, compass, asked["naming"]) if text else ()
        return self.shown(history_of(instrument, notes))
