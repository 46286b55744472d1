"""The work-sheet of a visit, as answers show it."""

from typing import Any

from django.db.models import QuerySet
from rest_framework import serializers
from rest_framework.response import Response

from diagnostics.api.check_examples import WORK_SHEET
from diagnostics.api.fields import FormulaOutput
from diagnostics.api.planned_checks import (
    LikelyCauseOutput,
    NotesCausesOutput,
    NotesOutput,
    OpenedQuery,
    PlannedCheckOutput,
    access_opened,
    minutes_field,
)
from diagnostics.models import Examination
from diagnostics.queries.diagnoses import examination_diagnosis
from diagnostics.queries.next_checks import asking_of
from diagnostics.queries.work_sheets import work_sheet_of
from diagnostics.rules.work_sheet_text import work_sheet_text
from shop.http.amounts import QuantityField
from shop.http.conditional import entity_tag
from shop.http.permissions import EVERYONE, grants
from shop.http.pictures import wants_text
from shop.http.verbs import report
from shop.http.views import ShopViewSet


class FirstCheckOutput(serializers.Serializer[Any]):
    """What to ask and to look at before anything is opened."""

    check = serializers.CharField(source="text.code")
    name = serializers.CharField(source="text.name")
    instruction = serializers.CharField(source="text.instruction")
    reads_as = serializers.CharField(source="text.reads_as")
    minutes = minutes_field()


class SheetLevelOutput(serializers.Serializer[Any]):
    """Checks made while the piano stands open so far; `minutes` are those of getting there."""

    set_up = serializers.CharField()
    name = serializers.CharField()
    minutes = minutes_field()
    checks = PlannedCheckOutput(many=True)


class SheetRemedyOutput(NotesOutput):
    """Likely work; without `causes` the technician has decided on it. `minutes` are of all times.

    `pins` is how many centre pins it takes whose size shows at the bench.
    """

    remedy = serializers.CharField(source="code")
    name = serializers.CharField()
    causes = LikelyCauseOutput(many=True)
    times = serializers.IntegerField()
    minutes = minutes_field()
    set_up = serializers.CharField()
    pins = serializers.IntegerField()


class SheetPartOutput(serializers.Serializer[Any]):
    """How much of a part all the likely work takes."""

    part = serializers.CharField(source="code")
    name = serializers.CharField()
    quantity = QuantityField()
    unit = serializers.CharField()


class SheetToolOutput(serializers.Serializer[Any]):
    """A tool that likely work is done with."""

    tool = serializers.CharField(source="code")
    name = serializers.CharField()


class SheetCautionOutput(serializers.Serializer[Any]):
    """What can hurt someone or touches the law."""

    caution = serializers.CharField(source="code")
    title = serializers.CharField()
    text = serializers.CharField()


class WorkSheetOutput(serializers.Serializer[Any]):
    """All that a visit needs, in the order in which it is needed.

    `parts` and `tools` are for whatever of the likely work turns out to be wanted.
    """

    instrument = serializers.CharField()
    client = serializers.CharField()
    place = serializers.CharField()
    complaint = serializers.CharField()
    verdict = serializers.CharField(help_text="Of the diagnosis so far.")
    sure_percent = serializers.DecimalField(
        max_digits=4, decimal_places=1, help_text="From which probability a cause counts as found."
    )
    first = FirstCheckOutput(many=True)
    levels = SheetLevelOutput(many=True)
    decided = NotesCausesOutput(many=True)
    nothing_left = NotesCausesOutput(many=True)
    remedies = SheetRemedyOutput(many=True)
    parts = SheetPartOutput(many=True)
    tools = SheetToolOutput(many=True)
    cautions = SheetCautionOutput(many=True)
    expected_minutes = minutes_field()
    is_exact = serializers.BooleanField()
    formulas = FormulaOutput(many=True)


class ExaminationWorkSheetViewSet(ShopViewSet):
    """The work-sheet of an examination."""

    model = Examination
    roles = grants(read=EVERYONE)
    output = WorkSheetOutput

    def rows(self) -> QuerySet[Examination]:
        """Return the examinations: everybody in the shop may see them."""
        return Examination.objects.select_related("instrument__site__client")

    @report(
        gives=WorkSheetOutput,
        query=OpenedQuery,
        of_one=True,
        gives_text=True,
        example=WORK_SHEET,
    )
    def work_sheet(self) -> Response:
        """Return all that a visit needs, in order; as text for a terminal or a printer too."""
        examination = self.found()
        opened = access_opened(examination.instrument, self.checked_query().get("opened"))
        read, asking = examination_diagnosis(examination), asking_of(examination)
        sheet = work_sheet_of(read, asking, opened=opened)
        if wants_text(self.request):
            text = work_sheet_text(sheet)
            return Response(text, headers={"ETag": entity_tag(text)})
        return self.shown(sheet)
