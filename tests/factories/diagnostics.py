from datetime import timedelta
from decimal import Decimal

import factory

from diagnostics import models
from shop.models import Action
from tests.factories.shop import (
    CatalogueRowFactory,
    InstrumentFactory,
    PartFactory,
    PlaceFactory,
    RowFactory,
    UserFactory,
)
from tests.factories.world import NOW, stock


class ActionRowFactory(CatalogueRowFactory):
    class Meta:
        abstract = True

    actions = factory.LazyFunction(lambda: list(Action.values))


class ComponentFactory(ActionRowFactory):
    class Meta:
        model = models.Component


class FaultFactory(ActionRowFactory):
    class Meta:
        model = models.Fault

    # Korean syllables, all of them letters, which the shipped catalogue leaves free.
    letter = factory.Sequence(lambda n: chr(0xAC00 + n % 0x2BA4))


class SetUpFactory(ActionRowFactory):
    class Meta:
        model = models.SetUp

    depth = 2
    minutes_low = 10
    minutes_likely = 15
    minutes_high = 25


class ToolFactory(CatalogueRowFactory):
    class Meta:
        model = models.Tool


class CautionFactory(CatalogueRowFactory):
    class Meta:
        model = models.Caution

    text = "Block the keybed before the action slides out."


class CheckFactory(ActionRowFactory):
    class Meta:
        model = models.Check

    scope = models.ChargedPer.NOTE
    instruction = "Lift the hammer by hand and let it fall."
    set_up = factory.SubFactory(SetUpFactory)
    minutes_low = Decimal("0.5")
    minutes_likely = 1
    minutes_high = 3


class RemedyFactory(ActionRowFactory):
    class Meta:
        model = models.Remedy

    class Params:
        pin_kit = factory.Trait(takes_pin_kit=True, pins_per_note=1)

    set_up = factory.SubFactory(SetUpFactory)
    charged_per = models.ChargedPer.NOTE
    minutes_low = 3
    minutes_likely = 4
    minutes_high = 8


class RemedyPartFactory(RowFactory):
    class Meta:
        model = models.RemedyPart

    remedy = factory.SubFactory(RemedyFactory)
    part = factory.SubFactory(PartFactory)
    quantity = 2


class CauseFactory(ActionRowFactory):
    class Meta:
        model = models.Cause

    component = factory.SubFactory(ComponentFactory)
    signs = "The hammer falls back slowly, in damp weather more so."
    remedy = factory.SubFactory(RemedyFactory)


class CauseCheckFactory(RowFactory):
    class Meta:
        model = models.CauseCheck

    cause = factory.SubFactory(CauseFactory)
    check_made = factory.SubFactory(CheckFactory)
    positive_share = Decimal("0.80")


class CauseFaultFactory(RowFactory):
    class Meta:
        model = models.CauseFault

    cause = factory.SubFactory(CauseFactory)
    fault = factory.SubFactory(FaultFactory)
    share = Decimal("0.60")


class PinShareFactory(CatalogueRowFactory):
    class Meta:
        model = models.PinShare

    # Sizes 18 to 24 in halves, over and over.
    size_label = factory.Sequence(lambda n: f"{18 + n % 13 / 2:g}")
    share = Decimal("0.25")


class MeasuredRangeFactory(ActionRowFactory):
    class Meta:
        model = models.MeasuredRange

    class Params:
        friction = factory.Trait(quantity="friction_g", low=2, high=5, radius_mm=23)
        swings = factory.Trait(quantity="swings", low=4, high=8, swings_counted="passes")

    quantity = "down_weight_g"
    low = 45
    high = 60


class ExaminationFactory(RowFactory):
    class Meta:
        model = models.Examination

    class Params:
        follow_up = factory.Trait(
            follows=factory.SubFactory(
                "tests.factories.diagnostics.ExaminationFactory",
                instrument=factory.SelfAttribute("..instrument"),
                examined_at=NOW - timedelta(days=14),
            )
        )

    instrument = factory.SubFactory(InstrumentFactory)
    technician = factory.SubFactory(UserFactory)
    examined_at = NOW
    complaint = "Some keys stick."


class RoomReadingFactory(RowFactory):
    class Meta:
        model = models.RoomReading

    instrument = factory.SubFactory(InstrumentFactory)
    taken_at = factory.Sequence(lambda n: NOW + timedelta(minutes=n))
    temperature_c = Decimal("18.5")
    humidity_percent = Decimal("71.0")
    taken_by = factory.SubFactory(UserFactory)


class CheckResultFactory(RowFactory):
    class Meta:
        model = models.CheckResult

    examination = factory.SubFactory(ExaminationFactory)
    check_made = factory.SubFactory(CheckFactory)
    note_midi = 60
    outcome = models.Outcome.POSITIVE


class TouchWeightFactory(RowFactory):
    class Meta:
        model = models.TouchWeight

    examination = factory.SubFactory(ExaminationFactory)
    note_midi = 60
    down_weight_g = 52
    up_weight_g = 28


class FindingFactory(RowFactory):
    class Meta:
        model = models.Finding

    examination = factory.SubFactory(ExaminationFactory)
    note_midi = 60
    fault = factory.SubFactory(FaultFactory)


class MeasurementFactory(RowFactory):
    class Meta:
        model = models.Measurement

    class Params:
        friction = factory.Trait(
            quantity=models.Quantity.FRICTION_G, value=9, radius_mm=Decimal("25.4")
        )
        swings = factory.Trait(
            quantity=models.Quantity.SWINGS,
            value=7,
            swings_counted=models.SwingsCounted.PASSES,
        )

    finding = factory.SubFactory(FindingFactory)
    quantity = models.Quantity.KEY_DIP_MM
    value = Decimal("9.8")


class BenchWorkFactory(RowFactory):
    class Meta:
        model = models.BenchWork

    examination = factory.SubFactory(ExaminationFactory)
    bag = factory.SubFactory(PlaceFactory, bag=True)
    note_midi = 60
    remedy = factory.SubFactory(RemedyFactory)
    minutes = Decimal("6.5")
    result = models.WorkResult.CURED
    done_at = NOW
    done_by = factory.SubFactory(UserFactory)


class FittedPartFactory(RowFactory):
    """A part fitted out of a bag that holds five of it."""

    class Meta:
        model = models.FittedPart

    bench_work = factory.SubFactory(BenchWorkFactory)
    part = factory.LazyAttribute(
        lambda fitted: stock(PartFactory(), 5, 1, place=fitted.bench_work.bag).part
    )
    quantity = 2


class LearningResetFactory(RowFactory):
    class Meta:
        model = models.LearningReset

    reset_at = NOW
    reset_by = factory.SubFactory(UserFactory)
    reason = "The figures came from another workshop."
