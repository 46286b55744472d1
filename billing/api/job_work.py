"""What a job took, beside what was quoted for it."""

from typing import Any

from django.db.models import QuerySet
from rest_framework import serializers
from rest_framework.response import Response

from billing.models import Quote
from billing.queries.job_work import job_work
from billing.queries.quotes import quotes
from diagnostics.rules.estimate import PERT
from shop.http.amounts import QuantityField, RoundedQuantityField
from shop.http.permissions import EVERYONE, grants
from shop.http.traced import FormulaOutput
from shop.http.verbs import report
from shop.http.views import ShopViewSet


class ThreePointsOutput(serializers.Serializer[Any]):
    """A three-point estimate in minutes."""

    low = QuantityField()
    likely = QuantityField()
    high = QuantityField()


class WorkMinutesOutput(serializers.Serializer[Any]):
    """Minutes quoted, added by agreed changes, expected of both, and real."""

    quoted_minutes = ThreePointsOutput(source="quoted")
    added_minutes = ThreePointsOutput(source="added")
    expected_minutes = RoundedQuantityField(source="expected")
    real_minutes = QuantityField()
    difference_minutes = RoundedQuantityField(
        source="difference", help_text="Real less expected: more than nothing took longer."
    )
    done_times = serializers.IntegerField(help_text="How often it was recorded at the bench.")


class RemedyWorkOutput(WorkMinutesOutput):
    """A remedy of the job; one that nobody quoted has no minutes but real ones."""

    remedy = serializers.CharField(source="code")
    name = serializers.CharField()


class PartWorkOutput(serializers.Serializer[Any]):
    """A part: what the job bag should hold, what there was of it, and what was fitted."""

    part = serializers.CharField(source="code")
    name = serializers.CharField()
    unit = serializers.CharField()
    wanted_quantity = QuantityField(source="wanted")
    taken_quantity = QuantityField(source="taken")
    fitted_quantity = QuantityField(source="fitted")


class QuoteWorkReportOutput(serializers.Serializer[Any]):
    """A job's minutes and parts; the total holds the set-up, which nobody records by itself."""

    quote = serializers.IntegerField(source="quote.pk")
    status = serializers.CharField(source="quote.status")
    set_up_minutes = ThreePointsOutput(source="set_up")
    remedies = RemedyWorkOutput(many=True)
    total = WorkMinutesOutput()
    parts = PartWorkOutput(many=True)
    formulas = FormulaOutput(many=True, default=(PERT,))


class QuoteWorkViewSet(ShopViewSet):
    """Real minutes and parts of a job beside the quoted."""

    model = Quote
    roles = grants(read=EVERYONE)

    def rows(self) -> QuerySet[Quote]:
        """Return the quotes: everybody in the shop may see them."""
        return quotes()

    @report(gives=QuoteWorkReportOutput, of_one=True)
    def work(self) -> Response:
        """Return each remedy and part of the job, and all of it together."""
        return Response(self.representation(job_work(self.found())))
