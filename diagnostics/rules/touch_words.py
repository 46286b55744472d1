"""What the touch of a keyboard comes to, in a sentence or two."""

from collections import Counter
from collections.abc import Iterator

from diagnostics.rules.touch import FEWEST_MEASURED, SMOOTHED, Touch, TouchQuantity

NAMES = {
    TouchQuantity.BALANCE_WEIGHT: "balance weight",
    TouchQuantity.FRICTION: "friction",
    TouchQuantity.KEY_FRICTION: "friction of the key",
}


def touch_sentence(touch: Touch) -> str:
    """Return how many notes were weighed, what they are too few for, and how many stand out."""
    return " ".join(_sentences(touch))


def _sentences(touch: Touch) -> Iterator[str]:
    if not touch.notes:
        yield "No note was weighed."
        return
    yield f"{_notes(len(touch.notes))} weighed{_too_few_of_all(touch)}."
    measured = Counter(value.quantity for note in touch.notes for value in note.values)
    smoothed = {curve.quantity for curve in touch.curves}
    if smoothed:
        for quantity in SMOOTHED:
            if measured[quantity] and quantity not in smoothed:
                yield f"{_notes(measured[quantity])} with {NAMES[quantity]}: too few to smooth."
        outstanding = [
            note for note in touch.notes if any(value.stands_out for value in note.values)
        ]
        yield f"{_notes(len(outstanding))} unlike the neighbours."


def _too_few_of_all(touch: Touch) -> str:
    """Return that nothing was smoothed, and how many notes it takes, if that is so."""
    if touch.curves:
        return ""
    return f": too few to smooth, which takes down and up weight of {FEWEST_MEASURED} notes"


def _notes(count: int) -> str:
    return f"{count} note{'' if count == 1 else 's'}"
