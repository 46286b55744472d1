"""What was measured of the action centres, judged by the ranges that the catalogue keeps."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from diagnostics.models import Examination, Finding, MeasuredRange, Measurement, Quantity
from diagnostics.queries.ranges import range_of, ranges_for
from diagnostics.queries.work import findings_of
from diagnostics.rules.friction import (
    PASSES_OF,
    friction_standing,
    passes,
    swings_standing,
    torque_gf_mm,
    torque_mn_m,
)
from diagnostics.rules.pins import PinSize, could_be
from diagnostics.rules.ranges import Range, Standing, judging_range
from diagnostics.rules.sections import Section, register_of

OF_CENTRES = {Quantity.FRICTION_G, Quantity.SWINGS, Quantity.PIN_DIAMETER_UM}


@dataclass(frozen=True)
class Judgement:
    """Where a value stands by a range; `limits` are its ends as the value was measured."""

    standing: Standing
    limits: Range
    by: MeasuredRange


@dataclass(frozen=True)
class Friction:
    """Grams at a radius, the torque that they stand for, and the judgement if there is one."""

    force_g: Decimal
    radius_mm: Decimal
    torque_gf_mm: Decimal
    torque_mn_m: Decimal
    judgement: Judgement | None


@dataclass(frozen=True)
class Swings:
    """Swings as they were counted, as passes through the bottom, and the judgement."""

    swings: Decimal
    counted: str
    passes: Decimal
    judgement: Judgement | None


@dataclass(frozen=True)
class Centre:
    """What was measured of one finding's centre; `could_be` are the sizes of the pin found."""

    finding: Finding
    friction: Friction | None = None
    swings: Swings | None = None
    pin_diameter_um: int | None = None
    could_be: Sequence[PinSize] = ()


@dataclass(frozen=True)
class Judges:
    """The ranges that may judge what was measured of one finding's component, where it stands."""

    rows: Sequence[MeasuredRange]
    component_id: int | None
    section: Section | None

    def of(self, quantity: str) -> MeasuredRange | None:
        """Return the range that judges a quantity: swings are the hammer's, whatever was named."""
        rows = {
            row.code: row
            for row in self.rows
            if quantity == Quantity.SWINGS or row.component_id == self.component_id
        }
        found = judging_range(map(range_of, rows.values()), quantity, self.section)
        return rows[found.code] if found else None


def centres_of(examination: Examination) -> list[Centre]:
    """Return the centres measured in an examination, by note: three statements."""
    instrument = examination.instrument
    ranges = list(ranges_for(instrument.action))
    centres = []
    for finding in findings_of(examination):
        measured = {each.quantity: each for each in finding.measurements.all()}
        if OF_CENTRES & measured.keys():
            named_by_cause = finding.cause.component_id if finding.cause else None
            midi = finding.note_midi
            section = None if midi is None else register_of(midi, instrument.breaks_midi)
            judges = Judges(ranges, finding.component_id or named_by_cause, section)
            centres.append(_centre(finding, measured, judges))
    return centres


def _centre(finding: Finding, measured: Mapping[str, Measurement], judges: Judges) -> Centre:
    pin = measured.get(Quantity.PIN_DIAMETER_UM)
    return Centre(
        finding=finding,
        friction=_friction(measured.get(Quantity.FRICTION_G), judges),
        swings=_swings(measured.get(Quantity.SWINGS), judges),
        pin_diameter_um=int(pin.value) if pin else None,
        could_be=could_be(int(pin.value)) if pin else (),
    )


def _friction(measured: Measurement | None, judges: Judges) -> Friction | None:
    if measured is None or measured.radius_mm is None:
        return None
    force_g, radius_mm = measured.value, measured.radius_mm
    judge = judges.of(measured.quantity)
    judgement = None
    if judge and judge.radius_mm:
        grams = range_of(judge)
        judgement = Judgement(
            standing=friction_standing(force_g, radius_mm, grams, judge.radius_mm),
            limits=grams.times(judge.radius_mm / radius_mm),
            by=judge,
        )
    return Friction(
        force_g=force_g,
        radius_mm=radius_mm,
        torque_gf_mm=torque_gf_mm(force_g, radius_mm),
        torque_mn_m=torque_mn_m(force_g, radius_mm),
        judgement=judgement,
    )


def _swings(measured: Measurement | None, judges: Judges) -> Swings | None:
    if measured is None:
        return None
    value, counted = measured.value, measured.swings_counted
    judge = judges.of(measured.quantity)
    judgement = None
    if judge:
        limits = range_of(judge)
        judgement = Judgement(
            standing=swings_standing(value, counted, limits, judge.swings_counted),
            limits=limits.times(PASSES_OF[judge.swings_counted] / PASSES_OF[counted]),
            by=judge,
        )
    return Swings(value, counted, passes(value, counted), judgement)
