"""Which centre pins to take along, and how long the work of an examination takes."""

from decimal import Decimal
from typing import Any

from django.db.models import QuerySet
from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers
from rest_framework.response import Response

from diagnostics.api.fields import ChanceField, FormulaOutput
from diagnostics.api.pin_examples import ESTIMATE, KIT
from diagnostics.models import Examination
from diagnostics.queries.estimates import Estimate, estimate_of
from diagnostics.queries.examinations import examinations_with_instrument
from diagnostics.queries.pin_kits import ExaminationKit, examination_kit
from diagnostics.rules.bench_minutes import CATALOGUE_WEIGHT, SHRINKAGE
from diagnostics.rules.estimate import PERT
from diagnostics.rules.pin_kit import FORMULA, MOST_WEIGHT, PRIOR_WEIGHT
from shop.http.amounts import QuantityField, RoundedQuantityField
from shop.http.permissions import EVERYONE, grants
from shop.http.serializers import StrictSerializer
from shop.http.verbs import report
from shop.http.views import ShopViewSet


class KitQuery(StrictSerializer):
    """How sure the kit shall be; the shop's own setting when left out."""

    confidence = serializers.DecimalField(
        max_digits=4,
        decimal_places=3,
        min_value=Decimal("0.5"),
        max_value=Decimal("0.999"),
        default=None,
    )


class SizeInKitOutput(serializers.Serializer[Any]):
    """A size: how many to take, the shop's pin of it, and what the number rests on."""

    size = serializers.CharField(source="size.label")
    spoken = serializers.CharField(source="size.spoken")
    diameter_um = serializers.IntegerField(source="size.diameter_um")
    count = serializers.IntegerField()
    part = serializers.CharField(
        source="part.code",
        default=None,
        allow_null=True,
        help_text="Null when the shop keeps none.",
    )
    share = QuantityField(help_text="How often the catalogue expects it.")
    fitted = serializers.IntegerField(help_text="How many the shop fitted in this kind of action.")
    weight_pins = RoundedQuantityField(source="weight", help_text="What both come to, in pins.")


class KnownPinOutput(serializers.Serializer[Any]):
    """A pin for centres whose old pin was measured: the next half size up."""

    part = serializers.CharField()
    quantity = QuantityField()


class KitOutput(serializers.Serializer[Any]):
    """The pins to take.

    `coverage` is the chance that no size runs out. It `is_exact` up to 500 centres; beyond, the
    true chance is not below it. `coverage_stocked` leaves out the sizes that the shop does not
    keep.
    """

    examination = serializers.IntegerField(source="examination.pk")
    action = serializers.CharField(source="kit.action")
    known_pins = serializers.SerializerMethodField()
    centres = serializers.IntegerField(
        source="kit.centres", help_text="Those whose size shows at the bench."
    )
    confidence = QuantityField(source="kit.confidence")
    coverage = ChanceField(source="kit.coverage")
    coverage_stocked = ChanceField(source="kit.coverage_stocked")
    is_exact = serializers.BooleanField(source="kit.is_exact")
    sizes = SizeInKitOutput(source="kit.sizes", many=True)
    not_stocked = serializers.SerializerMethodField(help_text="Sizes to take that the shop lacks.")
    prior_weight_pins = serializers.IntegerField(
        default=PRIOR_WEIGHT, help_text="What the catalogue's shares weigh (estimate)."
    )
    most_weight_pins = serializers.IntegerField(
        default=MOST_WEIGHT,
        help_text="What all knowledge weighs at most, as one piano's pins are alike (estimate).",
    )
    formula = FormulaOutput(default=FORMULA)

    @extend_schema_field(KnownPinOutput(many=True))
    def get_known_pins(self, row: ExaminationKit) -> Any:
        """Return the pins of measured centres."""
        known = [{"part": part.code, "quantity": count} for part, count in row.known.items()]
        return KnownPinOutput(known, many=True).data

    def get_not_stocked(self, row: ExaminationKit) -> list[str]:
        """Return the labels of the sizes that the shop does not keep."""
        return [size.label for size in row.kit.not_stocked]


class MinutesOutput(serializers.Serializer[Any]):
    """A three-point estimate and the mean it stands for."""

    low = RoundedQuantityField()
    likely = RoundedQuantityField()
    high = RoundedQuantityField()
    expected = RoundedQuantityField(read_only=True)


class BenchMinutesOutput(serializers.Serializer[Any]):
    """What the shop's own work took."""

    times = serializers.IntegerField()
    mean = RoundedQuantityField(read_only=True)


class SetUpEstimateOutput(serializers.Serializer[Any]):
    """The one set-up that gives access to all the work."""

    code = serializers.CharField()
    name = serializers.CharField()
    minutes = MinutesOutput()


class RemedyEstimateOutput(serializers.Serializer[Any]):
    """A remedy, and the minutes of doing it once: the catalogue's, the shop's own, and between."""

    remedy = serializers.CharField(source="remedy.code")
    name = serializers.CharField(source="remedy.name")
    times = serializers.IntegerField(source="use.times")
    note_count = serializers.IntegerField(source="use.note_count")
    catalogue_minutes = MinutesOutput(source="catalogue")
    own_minutes = BenchMinutesOutput(source="bench", allow_null=True)
    moved_minutes = MinutesOutput(source="moved")


class EstimateOutput(serializers.Serializer[Any]):
    """The minutes of all the work: what is expected, and where four jobs in five lie.

    It is by the catalogue's minutes, or by those that the shop's own work moved when
    `quotes_by_bench_work`, a setting of the shop. Findings without a remedy are not in it.
    """

    examination = serializers.IntegerField(source="examination.pk")
    set_up = SetUpEstimateOutput(allow_null=True)
    remedies = RemedyEstimateOutput(many=True)
    expected_minutes = RoundedQuantityField(source="span.expected")
    low_minutes = RoundedQuantityField(source="span.low", help_text="One job in ten takes less.")
    high_minutes = RoundedQuantityField(source="span.high", help_text="One job in ten takes more.")
    quotes_by_bench_work = serializers.BooleanField()
    catalogue_weight = serializers.IntegerField(
        default=CATALOGUE_WEIGHT, help_text="What the catalogue weighs, in times done (estimate)."
    )
    undecided_count = serializers.IntegerField()
    formulas = serializers.SerializerMethodField()

    @extend_schema_field(FormulaOutput(many=True))
    def get_formulas(self, _: Estimate) -> Any:
        """Return what the range and the moved minutes are found by."""
        return FormulaOutput([PERT, SHRINKAGE], many=True).data


class ExaminationWorkViewSet(ShopViewSet):
    """What the work that an examination asks for takes, before it is quoted."""

    model = Examination
    roles = grants(read=EVERYONE)

    def rows(self) -> QuerySet[Examination]:
        """Return the examinations: everybody in the shop may see them."""
        return examinations_with_instrument()

    @report(gives=KitOutput, query=KitQuery, of_one=True, example=KIT)
    def kit(self) -> Response:
        """Return how many centre pins of each size to take, and what that rests on."""
        return self.shown(examination_kit(self.found(), **self.checked_query()))

    @report(gives=EstimateOutput, of_one=True, example=ESTIMATE)
    def estimate(self) -> Response:
        """Return the minutes of the work, with their 80 % range."""
        return self.shown(estimate_of(self.found()))
