"""Bench work, to read; it is recorded under the quote that promised it."""

import django_filters
from django.db.models import QuerySet
from rest_framework import serializers

from diagnostics.api.fields import CodeRelatedField
from diagnostics.api.notes import NOTE_FIELDS, MidiFilter, NotedOutput
from diagnostics.models import BenchWork, FittedPart, WorkResult
from diagnostics.queries.examinations import bench_work_in_full
from shop.http.amounts import QuantityField
from shop.http.filters import IdFilter, InstantRangeFilter, Order
from shop.http.permissions import EVERYONE, grants
from shop.http.records import Listed, Retrieved
from shop.http.serializers import RowSerializer
from shop.http.views import ShopViewSet


class FittedPartOutput(RowSerializer):
    """How much of a part went in."""

    part = CodeRelatedField()
    name = serializers.CharField(source="part.name")
    unit = serializers.CharField(source="part.unit")
    quantity = QuantityField(read_only=True)

    class Meta:
        model = FittedPart
        fields = ("part", "name", "quantity", "unit")


class BenchWorkOutput(NotedOutput):
    """A remedy done, and the parts that went in."""

    instrument = serializers.IntegerField(source="examination.instrument_id")
    remedy = CodeRelatedField()
    cause_found = CodeRelatedField(allow_null=True)
    fitted = FittedPartOutput(source="fitted_parts", many=True)

    class Meta:
        model = BenchWork
        fields = (
            *("id", "examination", "instrument", *NOTE_FIELDS, "finding", "remedy", "cause_found"),
            *("minutes", "result", "comment", "fitted", "done_at", "done_by"),
        )


class BenchWorkFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By examination, instrument, MIDI numbers, remedy, result and time."""

    examination = IdFilter()
    instrument = IdFilter(field_name="examination__instrument")
    note_midi = MidiFilter()
    remedy = django_filters.CharFilter(field_name="remedy__code")
    result = django_filters.MultipleChoiceFilter(choices=WorkResult.choices)
    done_at = InstantRangeFilter()
    order = Order(fields=["done_at", "id"])

    class Meta:
        model = BenchWork
        fields = ()


class BenchWorkViewSet(Listed, Retrieved, ShopViewSet):
    """Bench work, newest first."""

    model = BenchWork
    roles = grants(read=EVERYONE)
    filterset_class = BenchWorkFilter
    output = BenchWorkOutput

    def rows(self) -> QuerySet[BenchWork]:
        """Return the bench work: everybody in the shop may see it."""
        return bench_work_in_full()
