"""The touch of the notes that an examination measured."""

from collections import defaultdict
from dataclasses import dataclass
from decimal import Decimal

from diagnostics.models import Examination, Measurement, Quantity
from diagnostics.queries.ranges import ranges_for
from diagnostics.rules.ranges import Range
from diagnostics.rules.touch import NoteWeights, Touch, TouchQuantity, touch

WEIGHTS = (Quantity.DOWN_WEIGHT_G, Quantity.UP_WEIGHT_G, Quantity.KEY_FRICTION_G)


@dataclass(frozen=True)
class ExaminationTouch:
    """The touch that an examination found."""

    examination: Examination
    touch: Touch


def touch_of_examination(examination: Examination) -> ExaminationTouch:
    """Return the touch of the notes measured, judged by the ranges of the instrument's action.

    Of a note that was measured more than once, what was recorded last counts.
    """
    measured = Measurement.objects.filter(finding__examination=examination, quantity__in=WEIGHTS)
    rows = measured.order_by("id").values_list("finding__note_midi", "quantity", "value")
    by_note: dict[int, dict[str, Decimal]] = defaultdict(dict)
    for midi, quantity, value in rows:
        if midi is not None:
            by_note[midi][quantity] = value
    weights = [
        NoteWeights(
            midi=midi,
            down_g=found.get(Quantity.DOWN_WEIGHT_G),
            up_g=found.get(Quantity.UP_WEIGHT_G),
            key_friction_g=found.get(Quantity.KEY_FRICTION_G),
        )
        for midi, found in by_note.items()
    ]
    instrument = examination.instrument
    found_touch = touch(weights, touch_ranges(instrument.action), breaks=instrument.breaks_midi)
    return ExaminationTouch(examination, found_touch)


def touch_ranges(action: str) -> list[Range]:
    """Return the ranges of touch that hold for a kind of action."""
    return [
        Range(
            code=row.code,
            name=row.name,
            quantity=row.quantity,
            low=row.low,
            high=row.high,
            section=row.section,
            judges=row.judges,
            provenance=row.provenance,
            source=row.source,
        )
        for row in ranges_for(action).filter(quantity__in=list(TouchQuantity))
    ]
