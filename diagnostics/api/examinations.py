"""Examinations of instruments."""

from typing import Any

import django_filters
from django.db.models import QuerySet
from django.utils import timezone
from rest_framework import serializers

from diagnostics.actions.examinations import (
    examination_change,
    examination_create,
    examination_delete,
)
from diagnostics.api.fields import comment_field
from diagnostics.api.notes import NoteField, naming_field
from diagnostics.models import Examination
from diagnostics.queries.examinations import examinations_in_full
from diagnostics.queries.instruments import compass_of
from diagnostics.rules.keyboard import EVERY_NOTE
from diagnostics.rules.note_names import Naming, notes_text
from shop.errors import FieldError
from shop.http.filters import IdFilter, InstantRangeFilter, Order
from shop.http.permissions import EVERYONE, grants
from shop.http.problems import RequestProblem
from shop.http.records import Changed, Created, Deleted, Listed, Retrieved
from shop.http.serializers import InstantField, RowField, RowSerializer, StrictSerializer
from shop.http.views import ShopViewSet, Values
from shop.models import Instrument, Role, User, Visit


class ExaminationChangeInput(StrictSerializer):
    """What can be changed of an examination; `notes_examined` is read in `naming`."""

    visit = RowField(queryset=Visit.objects.all(), required=False, allow_null=True)
    examined_at = InstantField()
    complaint = comment_field()
    notes_examined = NoteField(help_text="The notes tried; empty stands for all of them.")
    naming = naming_field()
    comment = comment_field()
    follows = RowField(
        queryset=Examination.objects.all(),
        required=False,
        allow_null=True,
        help_text="The earlier examination of the same instrument that this one follows up.",
    )
    room_was_treated = serializers.BooleanField(
        default=False, help_text="Whether the room was treated between the two."
    )


class ExaminationCreateInput(ExaminationChangeInput):
    """A new examination; `technician` is the caller when left out."""

    instrument = RowField(queryset=Instrument.objects.all())
    technician = RowField(queryset=User.objects.filter(is_active=True), required=False)


class ExaminationOutput(RowSerializer):
    """An examination, and where its findings and check results are.

    `notes_examined` is text in scientific naming; like the numbers beside it, it is empty when the
    whole compass was tried.
    """

    client = serializers.IntegerField(source="instrument.site.client_id")
    notes_examined = serializers.SerializerMethodField()
    notes_examined_midi = serializers.ListField(
        child=serializers.IntegerField(), source="notes_examined"
    )
    keys_examined = serializers.SerializerMethodField()
    findings_count = serializers.IntegerField()
    check_results_count = serializers.IntegerField()
    findings_url = serializers.HyperlinkedIdentityField(
        view_name="examination-finding-list", lookup_url_kwarg="examination_id"
    )
    check_results_url = serializers.HyperlinkedIdentityField(
        view_name="examination-check-result-list", lookup_url_kwarg="examination_id"
    )

    class Meta:
        model = Examination
        fields = (
            *("id", "instrument", "client", "visit", "technician", "examined_at", "complaint"),
            *("notes_examined", "notes_examined_midi", "keys_examined", "comment"),
            *("follows", "room_was_treated"),
            *("findings_count", "check_results_count", "findings_url", "check_results_url"),
        )

    def get_notes_examined(self, row: Examination) -> str:
        """Return the notes tried as text."""
        return notes_text(row.notes_examined, EVERY_NOTE)

    def get_keys_examined(self, row: Examination) -> list[int]:
        """Return the numbers of the keys tried."""
        compass = compass_of(row.instrument)
        return [compass.key_number(midi) for midi in filter(compass.contains, row.notes_examined)]


class ExaminationFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By instrument, client, technician, time, and what it follows up."""

    instrument = IdFilter()
    follows = IdFilter()
    client = IdFilter(field_name="instrument__site__client")
    technician = IdFilter()
    examined_at = InstantRangeFilter()
    order = Order(fields=["examined_at", "id"])

    class Meta:
        model = Examination
        fields = ()


class ExaminationViewSet(Listed, Retrieved, Created, Changed, Deleted, ShopViewSet):
    """Examinations, newest first. A technician records their own, others anyone's."""

    model = Examination
    roles = grants(read=EVERYONE, write=EVERYONE)
    filterset_class = ExaminationFilter
    create_input = ExaminationCreateInput
    change_input = ExaminationChangeInput
    output = ExaminationOutput

    def rows(self) -> QuerySet[Examination]:
        """Return the examinations: everybody in the shop may see them."""
        return examinations_in_full()

    def add(self, values: Values) -> Examination:
        """Record an examination."""
        technician = values.setdefault("technician", self.user)
        if self.user.role == Role.TECHNICIAN and technician != self.user:
            detail = "Technicians record their own examinations; ask the office for others'."
            error = FieldError("/technician", "not-yourself", detail)
            raise RequestProblem("forbidden", detail, (error,))
        naming = values.pop("naming")
        return examination_create(values=values, naming=naming, now=timezone.now())

    def change(self, row: Examination, values: Values) -> Examination:
        """Change an examination."""
        naming: Any = values.pop("naming", Naming.SCIENTIFIC)
        return examination_change(
            examination=row, changes=values, naming=naming, now=timezone.now()
        )

    def remove(self, row: Examination) -> None:
        """Delete an examination with its findings, unless it was quoted or worked on."""
        examination_delete(examination=row)
