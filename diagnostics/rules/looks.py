"""What one examination found, in plain values that pictures and comparisons read."""

from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property

from diagnostics.rules.keyboard import Compass

# From what is noticed when looked for to what cannot be played.
SEVERITIES = ("slight", "moderate", "severe")


def rank(severity: str) -> int:
    """Return 0 for the slightest severity, 2 for the worst.

    Raises:
        ValueError: there is no such severity.
    """
    return SEVERITIES.index(severity)


@dataclass(frozen=True)
class Found:
    """A finding: its note by MIDI number, None for the whole instrument, and what is wrong.

    `fault`, `component` and `cause` are codes of the catalogue; the last two are "" while open.
    """

    note_midi: int | None
    fault: str
    severity: str = "moderate"
    component: str = ""
    component_name: str = ""
    cause: str = ""


@dataclass(frozen=True)
class Look:
    """One examination of a keyboard; without `notes_examined` the whole compass was tried."""

    compass: Compass
    examined_on: date
    found: tuple[Found, ...] = ()
    notes_examined: frozenset[int] = frozenset()

    @cached_property
    def notes(self) -> frozenset[int]:
        """The notes looked at: those that are said to be, and those with a finding."""
        found = {each.note_midi for each in self.found if each.note_midi is not None}
        return (self.notes_examined or frozenset(self.compass.notes)) | found

    def has_looked_at(self, note_midi: int | None) -> bool:
        """Return whether the note was tried; None, the whole instrument, when every note was."""
        if note_midi is None:
            return self.notes.issuperset(self.compass.notes)
        return note_midi in self.notes

    def on(self, note_midi: int | None) -> list[Found]:
        """Return what was found on one note, or on the whole instrument, the worst first."""
        return self._by_note.get(note_midi, [])

    @cached_property
    def _by_note(self) -> dict[int | None, list[Found]]:
        by_note: dict[int | None, list[Found]] = {}
        for each in sorted(self.found, key=lambda each: -rank(each.severity)):
            by_note.setdefault(each.note_midi, []).append(each)
        return by_note

    @cached_property
    def marked(self) -> list[int]:
        """The notes on which something was found, lowest first."""
        return sorted(note for note in self._by_note if note is not None)


def aligned(*looks: Look) -> list[Look]:
    """Return looks at one instrument on the compass that holds every note of each.

    An instrument's compass may have been described otherwise when it was looked at.
    """
    notes = [note for look in looks for note in (*look.compass.notes, *look.notes)]
    return [replace(look, compass=Compass(min(notes), max(notes))) for look in looks]
