"""What the checks of an examination showed."""

from typing import Any

import django_filters
from django.db.models import QuerySet
from rest_framework import serializers
from rest_framework.response import Response

from diagnostics.actions.check_results import CheckResultDraft, check_results_record
from diagnostics.api.fields import CodeRelatedField, comment_field
from diagnostics.api.notes import NOTE_FIELDS, NotedOutput, NoteField, NoteFilter
from diagnostics.api.rows import RowsOfExamination
from diagnostics.models import CheckResult, Outcome
from diagnostics.queries.examinations import check_results_in_full
from shop.actions.records import record_delete
from shop.http.filters import Order
from shop.http.permissions import EVERYONE, grants
from shop.http.records import Deleted, Listed, Retrieved
from shop.http.serializers import StrictSerializer, TextField
from shop.http.views import ShopViewSet, Values


class CheckResultInput(StrictSerializer):
    """What a check, by its code, showed on some notes; without `note`, on the whole instrument."""

    check = TextField(max_length=60)
    note = NoteField()
    outcome = serializers.ChoiceField(choices=Outcome.choices)
    comment = comment_field()


class CheckResultOutput(NotedOutput):
    """What a check showed."""

    check = CodeRelatedField(source="check_made")

    class Meta:
        model = CheckResult
        fields = ("id", "examination", "check", *NOTE_FIELDS, "outcome", "comment")


class CheckResultsStoredOutput(serializers.Serializer[Any]):
    """What was stored of a post, in its order."""

    items = CheckResultOutput(many=True, source="*")


class CheckResultFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By check, outcome and notes."""

    check = django_filters.CharFilter(field_name="check_made__code")
    outcome = django_filters.MultipleChoiceFilter(choices=Outcome.choices)
    note = NoteFilter()
    order = Order(fields=["id", "note_midi"])

    class Meta:
        model = CheckResult
        fields = ()


class ExaminationCheckResultViewSet(Listed, RowsOfExamination):
    """What the checks of one examination showed; a post is one row or a list of rows."""

    model = CheckResult
    roles = grants(read=EVERYONE, write=EVERYONE)
    filterset_class = CheckResultFilter
    create_input = CheckResultInput
    output = CheckResultOutput
    stored_output = CheckResultsStoredOutput

    def rows(self) -> QuerySet[CheckResult]:
        """Return the results of the examination, in the order in which they were recorded."""
        return check_results_in_full().filter(examination=self.examination())

    def create(self) -> Response:
        """Return the results stored."""
        sent, errors = self.checked_rows()
        stored = check_results_record(
            examination=self.examination_locked(),
            drafts=[_draft(pointer, values) for pointer, values in sent],
            naming=self.naming(),
            errors=errors,
        )
        return self.stored(check_results_in_full().filter(pk__in=[row.pk for row in stored]))


class CheckResultViewSet(Retrieved, Deleted, ShopViewSet):
    """One result of a check."""

    model = CheckResult
    roles = grants(read=EVERYONE, write=EVERYONE)
    output = CheckResultOutput

    def rows(self) -> QuerySet[CheckResult]:
        """Return the results: everybody in the shop may see them."""
        return check_results_in_full()

    def remove(self, row: CheckResult) -> None:
        """Delete the result."""
        record_delete(record=row)


def _draft(pointer: str, values: Values) -> CheckResultDraft:
    return CheckResultDraft(pointer=pointer, **values)
