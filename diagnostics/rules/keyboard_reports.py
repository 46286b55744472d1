"""The three drawings of a keyboard as text: one examination, before and after, the history."""

import textwrap
from collections.abc import Iterable, Iterator, Sequence

from diagnostics.rules.comparison import Change, Comparison, sentence
from diagnostics.rules.keyboard import Compass
from diagnostics.rules.keyboard_text import keyboard_text
from diagnostics.rules.keyboard_words import (
    Faults,
    compared_words,
    comparison_words,
    found_words,
    history_words,
    look_words,
    often_words,
    printable,
    times_found,
)
from diagnostics.rules.looks import SEVERITIES, Look
from diagnostics.rules.note_names import notes_text

# A key has room for one sign, so that ten times and more look the same.
MOST_TIMES = 9
LETTERS = {
    Change.CURED: ("C", "Cured"),
    Change.BETTER: ("B", "Better"),
    Change.UNCHANGED: ("U", "Unchanged"),
    Change.WORSE: ("W", "Worse"),
    Change.NEW: ("N", "New"),
    Change.NOT_LOOKED_AT_AGAIN: ("A", "Not looked at again"),
    Change.NOT_LOOKED_AT_BEFORE: ("F", "Not looked at before"),
}


def examination_text(
    look: Look, faults: Faults, *, title: str, width: int = 100, colour: bool = False
) -> str:
    """Return one examination as text: a letter on each note, severities and the rest below.

    Raises:
        ValueError: as `keyboard_text`.
    """
    marks = {midi: [found.fault for found in look.on(midi)] for midi in look.marked}
    drawn = keyboard_text(look.compass, marks, faults, title=title, width=width, colour=colour)
    whole = [f"The whole instrument: {found_words(found, faults)}" for found in look.on(None)]
    return _with(drawn, [*_severities(look), *whole, *_unseen(look), look_words(look)], width)


def comparison_text(
    comparison: Comparison, faults: Faults, *, title: str, width: int = 100, colour: bool = False
) -> str:
    """Return before and after as text: on each note what became of its faults, listed below.

    Raises:
        ValueError: as `keyboard_text`.
    """
    compass = comparison.before.compass
    marks: dict[int, list[str]] = {}
    for item in comparison.items:
        if item.note_midi is not None:
            marks.setdefault(item.note_midi, []).append(item.change)
    letters = {str(change): sign for change, sign in LETTERS.items()}
    drawn = keyboard_text(compass, marks, letters, title=title, width=width, colour=colour)
    listed = [
        compared_words(item, compass, faults)
        for item in comparison.items
        if item.change != Change.CURED or item.note_midi is None
    ]
    return _with(drawn, [*listed, comparison_words(comparison), sentence(comparison)], width)


def history_text(
    compass: Compass, looks: Sequence[Look], *, title: str, width: int = 100, colour: bool = False
) -> str:
    """Return an instrument's history as text: on each note in how many examinations it was faulty.

    `looks` are its examinations, the oldest first, all on `compass`.

    Raises:
        ValueError: as `keyboard_text`.
    """
    often = {midi: times_found(looks, midi).found for midi in compass.notes}
    marks = {midi: [str(min(times, MOST_TIMES))] for midi, times in often.items() if times}
    signs = {str(times): (str(times), often_words(times)) for times in range(MOST_TIMES, 0, -1)}
    signs[str(MOST_TIMES)] = (str(MOST_TIMES), f"Faulty in {MOST_TIMES} examinations or more")
    drawn = keyboard_text(compass, marks, signs, title=title, width=width, colour=colour)
    named = [
        f"{name}: {notes_text([midi for midi in marks if marks[midi] == [code]], compass)}"
        for code, (_, name) in signs.items()
        if [code] in marks.values()
    ]
    return _with(
        drawn, [*named, *(look_words(look) for look in looks), history_words(looks)], width
    )


def _severities(look: Look) -> Iterator[str]:
    """Yield on which notes something is not moderate, the worst first."""
    for severity in (SEVERITIES[-1], SEVERITIES[0]):
        notes = [midi for midi in look.marked if look.on(midi)[0].severity == severity]
        if notes:
            yield f"{severity.capitalize()}: {notes_text(notes, look.compass)}"


def _unseen(look: Look) -> list[str]:
    missing = set(look.compass.notes) - look.notes
    return [f"Not looked at: {notes_text(missing, look.compass)}"] if missing else []


def _with(drawn: str, lines: Iterable[str], width: int) -> str:
    told = [part for line in lines for part in textwrap.wrap(printable(line), width)]
    return "\n".join([drawn, "", *told, ""])
