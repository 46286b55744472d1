"""The touch of the notes that an examination measured."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import QuerySet

from diagnostics.models import Examination, Measurement, Quantity, TouchWeight
from diagnostics.models.touch_weights import WEIGHTS
from diagnostics.queries.ranges import range_of, ranges_for
from diagnostics.rules.ranges import Range
from diagnostics.rules.touch import NoteWeights, Touch, TouchQuantity, touch
from diagnostics.rules.touch_words import touch_sentence


@dataclass(frozen=True)
class ExaminationTouch:
    """The touch that an examination found."""

    examination: Examination
    touch: Touch

    @property
    def sentence(self) -> str:
        """What it comes to, in words."""
        return touch_sentence(self.touch)


def touch_weights_in_full() -> QuerySet[TouchWeight]:
    """Return the weights of notes, in the order in which they were recorded."""
    return TouchWeight.objects.select_related("examination__instrument").order_by("id")


def touch_of_examination(examination: Examination) -> ExaminationTouch:
    """Return the touch of the notes measured, judged by the ranges of the instrument's action.

    Weights come from findings and from weighing the keyboard. Where both have a quantity of a note
    the weighing counts, and of several findings the one recorded last.
    """
    measured = Measurement.objects.filter(finding__examination=examination, quantity__in=WEIGHTS)
    rows = measured.order_by("id").values_list("finding__note_midi", "quantity", "value")
    by_note: dict[int, dict[str, Decimal]] = defaultdict(dict)
    for midi, quantity, value in rows:
        if midi is not None:
            by_note[midi][quantity] = value
    for weighed in TouchWeight.objects.filter(examination=examination):
        for name in WEIGHTS:
            value = getattr(weighed, name)
            if value is not None:
                by_note[weighed.note_midi][name] = value
    instrument = examination.instrument
    found_touch = touch(
        [_weights(midi, found) for midi, found in by_note.items()],
        touch_ranges(instrument.action),
        breaks=instrument.breaks_midi,
    )
    return ExaminationTouch(examination, found_touch)


def _weights(midi: int, found: Mapping[str, Decimal]) -> NoteWeights:
    return NoteWeights(
        midi=midi,
        down_g=found.get(Quantity.DOWN_WEIGHT_G),
        up_g=found.get(Quantity.UP_WEIGHT_G),
        key_friction_g=found.get(Quantity.KEY_FRICTION_G),
    )


def touch_ranges(action: str) -> list[Range]:
    """Return the ranges of touch that hold for a kind of action."""
    touched = ranges_for(action).filter(quantity__in=list(TouchQuantity))
    return [range_of(row) for row in touched]
