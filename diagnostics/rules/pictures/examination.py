"""The picture of one examination: each finding as a bar on its key."""

from collections.abc import Iterable, Mapping, Sequence

from diagnostics.rules.keyboard import Compass
from diagnostics.rules.keyboard_geometry import geometry_of
from diagnostics.rules.keyboard_words import (
    Faults,
    by_fault,
    compass_words,
    found_words,
    key_words,
    look_words,
    places_counted,
    places_named,
)
from diagnostics.rules.looks import Found, Look
from diagnostics.rules.note_names import note_name
from diagnostics.rules.pictures.keys import Bar, Keys, keyboard
from diagnostics.rules.pictures.legend import (
    NARROWEST,
    Entry,
    legend,
    page,
    severities,
    whole_instrument,
)
from diagnostics.rules.pictures.signs import Sign, fault_sign

Signs = Mapping[str, Sign]


def examination_svg(look: Look, faults: Faults, *, title: str) -> str:
    """Return the picture of one examination.

    `faults` gives the letter and the name of each fault's code.

    Raises:
        ValueError: a note is not on the keyboard, a fault is not in `faults`.
    """
    signs = fault_signs(look.found, faults)
    bars = [finding_bar(found, look.compass, signs, faults) for found in look.found]
    entries = fault_entries(look.found, look.compass, signs)
    width = width_of(look.compass)
    blocks = [
        keyboard(keys_of(look), bars),
        *whole_instrument(bars, width),
        legend(entries, width),
        severities(width, with_unseen=not look.has_looked_at(None)),
    ]
    lines = [look_words(look)]
    heading = f"{title}, {compass_words(look.compass)}"
    return page(heading, lines, blocks, entries, width=width)


def width_of(compass: Compass) -> float:
    """Return how wide a picture of this keyboard is between its margins."""
    return max(NARROWEST, geometry_of(compass).width_mm)


def fault_signs(found: Iterable[Found], faults: Faults) -> Signs:
    """Return the sign of each fault found, in the order of `faults`.

    Raises:
        ValueError: a fault is not in `faults`.
    """
    return {code: fault_sign(*faults[code]) for code in by_fault(found, faults)}


def fault_entries(found: Sequence[Found], compass: Compass, signs: Signs) -> list[Entry]:
    """Return the legend of these findings."""
    places = {code: [each.note_midi for each in found if each.fault == code] for code in signs}
    return [
        Entry(signs[code], places_counted(notes), places_named(notes, compass))
        for code, notes in places.items()
    ]


def finding_bar(found: Found, compass: Compass, signs: Signs, faults: Faults) -> Bar:
    """Return the bar of one finding."""
    told = found_words(found, faults)
    if found.note_midi is not None:
        told = f"{note_name(found.note_midi, compass)}: {told}"
    return Bar(found.note_midi, signs[found.fault], found.severity, told)


def keys_of(look: Look) -> Keys:
    """Return the keys of an examination."""
    return Keys(
        compass=look.compass,
        told=lambda midi: key_words(midi, look.compass),
        seen=look.notes,
        marked=look.marked,
    )
