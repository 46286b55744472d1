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
from diagnostics.rules.note_names import note_name, notes_said
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
from shop.rules.words import ENGLISH, Words, said

Signs = Mapping[str, Sign]


def examination_svg(look: Look, faults: Faults, *, title: str, words: Words = ENGLISH) -> str:
    """Return the picture of one examination, in `words`.

    `faults` gives the letter and the name of each fault's code.

    Raises:
        ValueError: a note is not on the keyboard, a fault is not in `faults`.
    """
    signs = fault_signs(look.found, faults, words)
    bars = [finding_bar(found, look.compass, signs, faults, words) for found in look.found]
    entries = fault_entries(look.found, look.compass, signs, words)
    width = width_of(look.compass)
    blocks = [
        keyboard(keys_of(look, words), bars),
        *whole_instrument(bars, width, words),
        legend(entries, width),
        severities(width, with_unseen=not look.has_looked_at(None), words=words),
    ]
    lines = [look_words(look, words)]
    heading = f"{title}, {compass_words(look.compass, words)}"
    return page(heading, lines, blocks, entries, width=width)


def width_of(compass: Compass) -> float:
    """Return how wide a picture of this keyboard is between its margins."""
    return max(NARROWEST, geometry_of(compass).width_mm)


def fault_signs(found: Iterable[Found], faults: Faults, words: Words = ENGLISH) -> Signs:
    """Return the sign of each fault found, in the order of `faults`.

    Raises:
        ValueError: a fault is not in `faults`.
    """
    told = {code: faults[code] for code in by_fault(found, faults)}
    return {code: fault_sign(letter, said(words, name)) for code, (letter, name) in told.items()}


def fault_entries(
    found: Sequence[Found], compass: Compass, signs: Signs, words: Words = ENGLISH
) -> list[Entry]:
    """Return the legend of these findings."""
    places = {code: [each.note_midi for each in found if each.fault == code] for code in signs}
    return [
        Entry(signs[code], places_counted(notes, words), places_named(notes, compass, words))
        for code, notes in places.items()
    ]


def finding_bar(
    found: Found, compass: Compass, signs: Signs, faults: Faults, words: Words = ENGLISH
) -> Bar:
    """Return the bar of one finding."""
    told = found_words(found, faults, words)
    if found.note_midi is not None:
        told = f"{notes_said(words, note_name(found.note_midi, compass))}: {told}"
    return Bar(found.note_midi, signs[found.fault], found.severity, told)


def keys_of(look: Look, words: Words = ENGLISH) -> Keys:
    """Return the keys of an examination."""
    return Keys(
        compass=look.compass,
        told=lambda midi: key_words(midi, look.compass, words),
        seen=look.notes,
        marked=look.marked,
    )
