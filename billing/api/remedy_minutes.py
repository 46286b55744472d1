"""Quoted against real minutes, remedy by remedy."""

from collections.abc import Sequence
from typing import Any

from rest_framework import serializers
from rest_framework.response import Response

from billing.queries.remedy_minutes import remedy_minutes
from diagnostics.rules.bench_minutes import CATALOGUE_WEIGHT, SHRINKAGE
from diagnostics.rules.estimate import PERT
from shop.http.amounts import RoundedQuantityField
from shop.http.permissions import EVERYONE, grants
from shop.http.renderers import CSVRenderer, PlainJSONRenderer
from shop.http.traced import FormulaOutput
from shop.http.views import ShopViewSet

# An answer, for the description of the API; a test holds it.
REMEDY_MINUTES: dict[str, Any] = {
    "catalogue_weight": 8,
    "items": [
        {
            "remedy": "repin-hammer",
            "name": "Repin the hammer flange",
            "charged_per": "note",
            "catalogue_expected_minutes": "4",
            "own_times": 3,
            "own_minutes_mean": "6",
            "moved_expected_minutes": "4.5",
            "completed_jobs": 1,
            "quoted_times": 4,
            "quoted_minutes_mean": "4",
            "real_times": 3,
            "real_minutes_mean": "6",
            "real_to_quoted": "1.50",
        }
    ],
    "formulas": [
        {
            "name": "PERT: (low + 4 likely + high) / 6, deviation (high - low) / 6, total taken as"
            " normal",
            "source": "Malcolm, Roseboom, Clark and Fazar, Operations Research 7 (1959).",
        },
        {
            "name": "mean of the catalogue's minutes, at its weight, and the shop's own",
            "source": 'Gelman and others, "Bayesian Data Analysis", 3rd edition, section 2.5.',
        },
    ],
}


class RemedyMinutesRowOutput(serializers.Serializer[Any]):
    """A remedy, and the minutes of doing it once; of completed jobs, null without any."""

    remedy = serializers.CharField(source="remedy.code")
    name = serializers.CharField(source="remedy.name")
    charged_per = serializers.CharField(source="remedy.charged_per")
    catalogue_expected_minutes = RoundedQuantityField(source="catalogue.expected")
    own_times = serializers.IntegerField(source="bench.times")
    own_minutes_mean = RoundedQuantityField(source="bench.mean")
    moved_expected_minutes = RoundedQuantityField(source="moved.expected")
    completed_jobs = serializers.IntegerField(source="completed.jobs", default=0)
    quoted_times = serializers.IntegerField(source="completed.quoted.times", default=0)
    quoted_minutes_mean = RoundedQuantityField(
        source="completed.quoted.mean", default=None, allow_null=True
    )
    real_times = serializers.IntegerField(source="completed.real.times", default=0)
    real_minutes_mean = RoundedQuantityField(
        source="completed.real.mean", default=None, allow_null=True
    )
    real_to_quoted = serializers.DecimalField(
        max_digits=9,
        decimal_places=2,
        source="completed.real_to_quoted",
        default=None,
        allow_null=True,
        help_text="How much longer it took than quoted: 1.25 is a quarter.",
    )


class RemedyMinutesOutput(serializers.Serializer[Any]):
    """The report over every remedy that the shop has done."""

    catalogue_weight = serializers.IntegerField(
        help_text="What the catalogue weighs in the moved minutes, in times done (estimate)."
    )
    items = RemedyMinutesRowOutput(many=True)
    formulas = FormulaOutput(many=True, default=(PERT, SHRINKAGE))


class RemedyMinutesViewSet(ShopViewSet):
    """Quoted against real minutes: what the catalogue says, and what the shop's own work took.

    Minutes are of one time: one note, or the instrument for what is charged once. Work on one note
    tells of the first, work on the whole instrument of the second. The moved minutes stand between
    the catalogue's and the shop's own; quotes use them when the shop `quotes_by_bench_work`.
    """

    roles = grants(read=EVERYONE)
    output = RemedyMinutesOutput
    example = REMEDY_MINUTES
    renderer_classes = (PlainJSONRenderer, CSVRenderer)

    def remedy_minutes(self) -> Response:
        """Return the report, as JSON or as a sheet."""
        report = {"catalogue_weight": CATALOGUE_WEIGHT, "items": remedy_minutes()}
        return Response(self.representation(report))

    def output_fields(self) -> Sequence[str]:
        """Return the columns of the sheet."""
        return list(RemedyMinutesRowOutput().fields)
