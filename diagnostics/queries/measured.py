"""Where measured values stand by the ranges that judge them."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from diagnostics.models import (
    Examination,
    MeasuredRange,
    Measurement,
    RangedQuantity,
    Register,
    TouchWeight,
)
from diagnostics.models.touch_weights import WEIGHTS
from diagnostics.queries.ranges import range_of
from diagnostics.rules.friction import PASSES_OF
from diagnostics.rules.measured_signs import Measured
from diagnostics.rules.ranges import Range, Standing
from diagnostics.rules.sections import register_of
from shop.rules.quantities import plain

WORDS = {Standing.LOW: "below", Standing.WITHIN: "within", Standing.HIGH: "above"}
DOWN, UP = RangedQuantity.DOWN_WEIGHT_G.value, RangedQuantity.UP_WEIGHT_G.value


@dataclass(frozen=True)
class Value:
    """A measured value; `component_id` is the part that its finding points at, if it does."""

    quantity: str
    value: Decimal
    component_id: int | None = None
    radius_mm: Decimal | None = None
    swings_counted: str = ""


def measured_by_note(examination: Examination) -> Mapping[int | None, tuple[Measured, ...]]:
    """Return what was measured of each note, judged, in three statements.

    Where the keyboard was weighed, that goes before a finding's weight of the same note.
    """
    values = _values_by_note(examination)
    actions = {"actions__contains": [examination.instrument.action]}
    ranges = list(
        MeasuredRange.objects.filter(judges=True, **actions)
        .select_related("component")
        .order_by("code")
    )
    breaks = examination.instrument.breaks_midi
    return {midi: tuple(_judged(midi, values[midi], ranges, breaks)) for midi in values}


def _values_by_note(examination: Examination) -> dict[int | None, list[Value]]:
    found = Measurement.objects.filter(finding__examination=examination).order_by("id")
    rows = found.values_list(
        *("finding__note_midi", "quantity", "value"),
        *("finding__component", "radius_mm", "swings_counted"),
    )
    by_note: dict[int | None, list[Value]] = defaultdict(list)
    for midi, *columns in rows:
        by_note[midi].append(Value(*columns))
    for weighed in TouchWeight.objects.filter(examination=examination).order_by("id"):
        for quantity in WEIGHTS:
            weight = getattr(weighed, quantity)
            if weight is not None:
                by_note[weighed.note_midi].append(Value(quantity, weight))
    return by_note


def _judged(
    midi: int | None,
    values: Iterable[Value],
    ranges: Sequence[MeasuredRange],
    breaks: Sequence[int],
) -> Iterator[Measured]:
    """Yield each value by the first range that judges it, the last of a quantity and part."""
    newest = {(each.quantity, each.component_id): each for each in values}
    weights = {each.quantity: each for each in newest.values() if each.quantity in WEIGHTS}
    others = [each for each in newest.values() if each.quantity not in WEIGHTS]
    section = None if midi is None else register_of(midi, breaks).value
    for value in (*others, *weights.values(), *_derived(weights)):
        for each in ranges:
            if each.quantity == value.quantity and _is_of(each, value, section):
                yield _measured(value, each)
                break


def _derived(weights: Mapping[str, Value]) -> Iterator[Value]:
    """Yield the friction of the whole note, half of what down and up weight differ by.

    Source: a list of college and university technicians.
    """
    if DOWN in weights and UP in weights:
        friction = (weights[DOWN].value - weights[UP].value) / 2
        yield Value(RangedQuantity.TOUCH_FRICTION_G.value, friction)


def _is_of(each: MeasuredRange, value: Value, section: str | None) -> bool:
    """Return whether a range is of this part of the keyboard, and of the flange measured."""
    if value.quantity == RangedQuantity.FRICTION_G and each.component_id != value.component_id:
        return False
    return each.section in {Register.WHOLE, section}


def _measured(value: Value, each: MeasuredRange) -> Measured:
    limits = range_of(each).times(_measure(value, each))
    side = limits.standing(value.value)
    return Measured(
        quantity=value.quantity,
        standing=side,
        said=f"{each.name}: {plain(value.value)} is {WORDS[side]} {_ends(limits)}",
        component=each.component.code if each.component else "",
    )


def _measure(value: Value, each: MeasuredRange) -> Decimal:
    """Return how many of the value's units make one of the range's: by radius, or by counting."""
    if value.radius_mm and each.radius_mm:
        return each.radius_mm / value.radius_mm
    if value.swings_counted:
        return PASSES_OF[each.swings_counted] / PASSES_OF[value.swings_counted]
    return Decimal(1)


def _ends(limits: Range) -> str:
    low, high = (
        plain(round(end, 2)) if end is not None else "" for end in (limits.low, limits.high)
    )
    if low and high:
        return f"{low} to {high}"
    return f"the least, {low}" if low else f"the most, {high}"
