"""Which check to make next in an examination, and on which notes."""

from typing import Any

from django.db.models import QuerySet
from rest_framework import serializers
from rest_framework.response import Response

from diagnostics.api.check_examples import NEXT_CHECKS
from diagnostics.api.fields import FormulaOutput
from diagnostics.api.notes import NamingQuery, NoteField, notes_asked
from diagnostics.api.planned_checks import (
    NotesCausesOutput,
    OpenedQuery,
    PlannedCheckOutput,
    access_opened,
    minutes_field,
)
from diagnostics.models import Examination
from diagnostics.queries.diagnoses import examination_diagnosis
from diagnostics.queries.instruments import compass_of
from diagnostics.queries.next_checks import asking_of, next_checks_of
from shop.http.permissions import EVERYONE, grants
from shop.http.verbs import report
from shop.http.views import ShopViewSet


class NextChecksQuery(OpenedQuery, NamingQuery):
    """On which notes, and how far the piano stands open."""

    note = NoteField(help_text="The notes to look at; all that are in trouble when left out.")


class NextChecksOutput(serializers.Serializer[Any]):
    """The checks to make, in order; a note needs none once its cause is sure.

    `nothing_left` are notes whose cause stays open though everything was asked. Unless `is_exact`,
    the order is the best by a rule, and an answer may change it: ask again.
    """

    examination = serializers.IntegerField(source="examination.pk")
    sure_percent = serializers.DecimalField(
        max_digits=4, decimal_places=1, help_text="From which probability a cause counts as found."
    )
    opened = serializers.CharField(help_text="The set-up that the order starts from.")
    expected_minutes = minutes_field(help_text="Until every cause is sure or nothing is left.")
    is_exact = serializers.BooleanField()
    checks = PlannedCheckOutput(many=True)
    decided = NotesCausesOutput(many=True)
    nothing_left = NotesCausesOutput(many=True)
    formulas = FormulaOutput(many=True)


class ExaminationNextChecksViewSet(ShopViewSet):
    """What is left to check in an examination."""

    model = Examination
    roles = grants(read=EVERYONE)
    output = NextChecksOutput

    def rows(self) -> QuerySet[Examination]:
        """Return the examinations: everybody in the shop may see them."""
        return Examination.objects.select_related("instrument")

    @report(gives=NextChecksOutput, query=NextChecksQuery, of_one=True, example=NEXT_CHECKS)
    def next_checks(self) -> Response:
        """Return the checks to make next, on the notes asked for or wherever there is trouble."""
        examination, asked = self.found(), self.checked_query()
        instrument, text = examination.instrument, asked["note"]
        notes = notes_asked(text, compass_of(instrument), asked["naming"]) if text else ()
        opened = access_opened(instrument, asked.get("opened"))
        read, asking = examination_diagnosis(examination), asking_of(examination)
        return self.shown(next_checks_of(read, asking, opened=opened, notes=notes))
