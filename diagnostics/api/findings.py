"""Findings: what the notes do, posted one at a time, as a list or as a sheet."""

from typing import Any

import django_filters
from django.db.models import QuerySet
from rest_framework import serializers
from rest_framework.response import Response

from diagnostics.actions.findings import FindingDraft, finding_change, findings_record
from diagnostics.api.fields import CodeRelatedField, code_field, comment_field
from diagnostics.api.measurements import (
    MEASURED_FIELDS,
    MeasuredField,
    MeasuredInput,
    SwingsCountedField,
    measured_values,
)
from diagnostics.api.notes import NOTE_FIELDS, MidiFilter, NotedOutput, NoteField, NoteFilter
from diagnostics.api.rows import RowsOfExamination
from diagnostics.models import Finding, Quantity, Severity
from diagnostics.queries.examinations import findings_in_full
from shop.actions.records import record_delete
from shop.http.csv_parsers import StrictCSVParser
from shop.http.filters import IdFilter, Order
from shop.http.parsers import StrictJSONParser
from shop.http.permissions import EVERYONE, grants
from shop.http.records import Changed, Deleted, Listed, Retrieved
from shop.http.serializers import InstantField, StrictSerializer, TextField
from shop.http.views import ShopViewSet, Values


class FindingInput(MeasuredInput):
    """A row: what the notes do, by the catalogue's codes, and what was measured on each.

    Without `note` it is about the whole instrument.
    """

    note = NoteField()
    fault = TextField(max_length=60)
    component = code_field()
    cause = code_field()
    remedy = code_field()
    severity = serializers.ChoiceField(choices=Severity.choices, default=Severity.MODERATE)
    comment = comment_field()


class FindingChangeInput(StrictSerializer):
    """What is known better now; "" or null takes a code away."""

    component = code_field()
    cause = code_field()
    remedy = code_field()
    severity = serializers.ChoiceField(choices=Severity.choices)
    comment = comment_field()


class FindingOutput(NotedOutput):
    """A finding, with what was measured in columns that name their units."""

    examined_at = InstantField(source="examination.examined_at")
    fault = CodeRelatedField()
    component = CodeRelatedField(allow_null=True)
    cause = CodeRelatedField(allow_null=True)
    remedy = CodeRelatedField(allow_null=True)
    friction_g = MeasuredField(Quantity.FRICTION_G)
    friction_radius_mm = MeasuredField(Quantity.FRICTION_G, "radius_mm")
    swings = MeasuredField(Quantity.SWINGS)
    swings_counted = SwingsCountedField()
    down_weight_g = MeasuredField(Quantity.DOWN_WEIGHT_G)
    up_weight_g = MeasuredField(Quantity.UP_WEIGHT_G)
    key_friction_g = MeasuredField(Quantity.KEY_FRICTION_G)
    key_dip_mm = MeasuredField(Quantity.KEY_DIP_MM)
    pin_diameter_um = MeasuredField(Quantity.PIN_DIAMETER_UM)

    class Meta:
        model = Finding
        fields = (
            *("id", "examination", "examined_at", *NOTE_FIELDS),
            *("fault", "component", "cause", "remedy", "severity", "comment", *MEASURED_FIELDS),
        )


class FindingsStoredOutput(serializers.Serializer[Any]):
    """What was stored of a post, in its order."""

    items = FindingOutput(many=True, source="*")


class FindingCodeFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By the catalogue's codes, and severity."""

    fault = django_filters.CharFilter(field_name="fault__code")
    component = django_filters.CharFilter(field_name="component__code")
    cause = django_filters.CharFilter(field_name="cause__code")
    severity = django_filters.MultipleChoiceFilter(choices=Severity.choices)

    class Meta:
        model = Finding
        fields = ()


class ExaminationFindingFilter(FindingCodeFilter):
    """By notes too, in the naming that the request states."""

    note = NoteFilter()
    order = Order(fields=["note_midi", "id"])


class FindingFilter(FindingCodeFilter):
    """By examination, instrument and MIDI numbers too."""

    examination = IdFilter()
    instrument = IdFilter(field_name="examination__instrument")
    note_midi = MidiFilter()
    order = Order(fields=[("examination__examined_at", "examined_at"), ("id", "id")])


class ExaminationFindingViewSet(Listed, RowsOfExamination):
    """What was found in one examination.

    A post is one row, a list of rows, or a sheet (text/csv) of the same columns; `note` may name
    one note, a range or several (`A0-C2,F4,naturals`), each of which gets a finding. All rows are
    stored, or none and every wrong one is named.
    """

    model = Finding
    roles = grants(read=EVERYONE, write=EVERYONE)
    parser_classes = (StrictJSONParser, StrictCSVParser)
    filterset_class = ExaminationFindingFilter
    create_input = FindingInput
    output = FindingOutput
    stored_output = FindingsStoredOutput

    def rows(self) -> QuerySet[Finding]:
        """Return the findings of the examination, by note."""
        rows = findings_in_full().filter(examination=self.examination())
        return rows.order_by("note_midi", "id")

    def create(self) -> Response:
        """Return the findings stored."""
        sent, errors = self.checked_rows()
        stored = findings_record(
            examination=self.examination_locked(),
            drafts=[_draft(pointer, values) for pointer, values in sent],
            naming=self.naming(),
            errors=errors,
        )
        rows = findings_in_full().filter(pk__in=[finding.pk for finding in stored])
        return self.stored(rows.order_by("pk"))


class FindingViewSet(Listed, Retrieved, Changed, Deleted, ShopViewSet):
    """Findings of every examination, newest first."""

    model = Finding
    roles = grants(read=EVERYONE, write=EVERYONE)
    filterset_class = FindingFilter
    change_input = FindingChangeInput
    output = FindingOutput

    def rows(self) -> QuerySet[Finding]:
        """Return the findings: everybody in the shop may see them."""
        return findings_in_full()

    def change(self, row: Finding, values: Values) -> Finding:
        """Change what is thought of the finding; what it does and where stays."""
        return finding_change(finding=row, changes=values)

    def remove(self, row: Finding) -> None:
        """Delete the finding, unless bench work refers to it."""
        record_delete(record=row)


def _draft(pointer: str, values: Values) -> FindingDraft:
    return FindingDraft(pointer=pointer, measurements=measured_values(values), **values)
