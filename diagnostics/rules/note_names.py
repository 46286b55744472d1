"""Names of notes: reading what people write, and writing it back.

Two ways of naming look alike and mean different notes: `C4` is middle C to a musician, but to a
technician who writes the letter with the key number it is the fourth key, C1, and middle C is
`C40`. So whoever posts names says which naming they use.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from itertools import groupby

from diagnostics.rules.keyboard import SEMITONES_PER_OCTAVE, Compass, is_natural, is_sharp
from shop.rules.words import Words, said

# Naming every key of the widest keyboard by itself takes about 700 characters.
LONGEST_TEXT = 1000
# What was sent stands in the error so that it can be found; this much is enough for that.
LONGEST_QUOTE = 24
SHORTEST_RUN = 3


class Naming(StrEnum):
    """How notes are named.

    `SCIENTIFIC`: letter, accidental, octave: A0 to C8 on 88 notes, C4 is middle C (MIDI 60).
        Octaves begin at C, so Cb4 is B3 and B#3 is C4.
        Source: R. W. Young, "Terminology for Logarithmic Frequency Units", Journal of the
        Acoustical Society of America 11 (1939), 134 (from memory).
    `KEY_NUMBER`: letter, accidental, and the key's number from the compass's lowest note: A1 to
        C88 on 88 notes, C1 to C97 on the 97 that begin at C0. Common practice of technicians.
    `MIDI`: the MIDI number alone, for programs.

    In the first two a bare number is a key number.
    """

    SCIENTIFIC = "scientific"
    KEY_NUMBER = "key_number"
    MIDI = "midi"


class NoteError(ValueError):
    """A text that does not name notes of the keyboard.

    `code` is a stable word for a program; the message says what was wrong, where, and what is
    accepted. `position` is the character at which the trouble begins, counted from 1.
    """

    def __init__(self, code: str, message: str, position: int = 1) -> None:
        super().__init__(message)
        self.code = code
        self.position = position


SEMITONES = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
ACCIDENTALS = {"#": 1, "♯": 1, "b": -1, "♭": -1}
PITCH_NAMES = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")
KINDS = {"all": lambda _: True, "naturals": is_natural, "sharps": is_sharp}

ACCEPTED = {
    Naming.SCIENTIFIC: (
        "a name such as F#4 or Bb3 (C4 is middle C), a key number such as 40, a range such as A0-C2"
    ),
    Naming.KEY_NUMBER: (
        "a letter with its key number such as C40, a key number such as 40, a range such as A1-C16"
    ),
    Naming.MIDI: "a MIDI number such as 60, a range such as 60-72",
}
NOTE = {
    Naming.SCIENTIFIC: "[A-Ga-g][#b♯♭]?-?[0-9]+|[0-9]+",
    Naming.KEY_NUMBER: "[A-Ga-g][#b♯♭]?[0-9]+|[0-9]+",
    Naming.MIDI: "[0-9]+",
}
ITEM = {
    naming: re.compile(
        r"(?:(?P<kind>(?i:all|naturals|sharps))(?:\s+|\Z))?"
        rf"(?:(?P<low>{note})(?:\s*-\s*(?P<high>{note}))?)?",
        re.ASCII,
    )
    for naming, note in NOTE.items()
}


def note_name(midi: int, compass: Compass, naming: str = Naming.SCIENTIFIC) -> str:
    """Return the note's name, with a sharp where it needs one: `F#4`, `F#46` or `66`.

    Raises:
        ValueError: there is no such naming, or the keyboard does not have the note.
    """
    key_number = compass.key_number(midi)
    letter = PITCH_NAMES[midi % SEMITONES_PER_OCTAVE]
    match Naming(naming):
        case Naming.SCIENTIFIC:
            return f"{letter}{midi // SEMITONES_PER_OCTAVE - 1}"
        case Naming.KEY_NUMBER:
            return f"{letter}{key_number}"
        case Naming.MIDI:
            return str(midi)


def notes_text(notes: Iterable[int], compass: Compass, naming: str = Naming.SCIENTIFIC) -> str:
    """Return notes as a short text that `parse_notes` reads back: `A0-C2, F4`.

    Raises:
        ValueError: there is no such naming, or the keyboard does not have one of the notes.
    """
    names = []
    ranked = enumerate(sorted(set(notes)))
    for _, pairs in groupby(ranked, key=lambda pair: pair[1] - pair[0]):
        run = [note_name(midi, compass, naming) for _, midi in pairs]
        names += run if len(run) < SHORTEST_RUN else [f"{run[0]}-{run[-1]}"]
    return ", ".join(names)


def notes_said(words: Words, names: str) -> str:
    """Return names of notes, with sharps only, in the letters of a language: German has H for B."""
    return names.replace("B", said(words, "B"))


def parse_notes(text: str, compass: Compass, naming: str = Naming.SCIENTIFIC) -> tuple[int, ...]:
    """Return the notes that `text` names on this keyboard, as MIDI numbers, lowest first.

    Items stand between commas and add up: a note (`F#4`), a range with both ends (`A0-C2`), one of
    the words `all`, `naturals` and `sharps`, or a word with a range (`naturals C4-C5`).

    Raises:
        NoteError: `naming-unknown`; `notes-too-long`; `note-missing`, nothing between two commas;
            `note-unreadable`; `note-outside-compass`; `note-contradictory`, a letter that is not
            that key's; `range-reversed`; `note-none`, the word leaves nothing of the range.
    """
    try:
        scheme = Naming(naming)
    except ValueError:
        known = ", ".join(Naming)
        message = f"There is no naming {_quoted(naming)}; use one of {known}."
        raise NoteError("naming-unknown", message) from None
    if len(text) > LONGEST_TEXT:
        raise NoteError(
            "notes-too-long",
            f"The text has {len(text)} characters and at most {LONGEST_TEXT} are read; "
            "write runs of notes as ranges.",
            LONGEST_TEXT + 1,
        )
    notes: set[int] = set()
    position = 1
    for item in text.split(","):
        indent = len(item) - len(item.lstrip())
        notes.update(_Item(item.strip(), position + indent, compass, scheme).notes())
        position += len(item) + 1
    return tuple(sorted(notes))


@dataclass(frozen=True)
class _Item:
    """What stands between two commas, and the place in the text where it begins."""

    text: str
    position: int
    compass: Compass
    naming: Naming

    def notes(self) -> list[int]:
        accepted = f"{ACCEPTED[self.naming]}, or all, naturals or sharps"
        if not self.text:
            what = f"There is no note at character {self.position}: write {accepted}."
            raise NoteError("note-missing", what, self.position)
        match = ITEM[self.naming].fullmatch(self.text)
        if match is None:
            lacking = "-" in (self.text[0], self.text[-1])
            wrong = "lacks an end of its range" if lacking else "cannot be read as a note"
            raise self.error("note-unreadable", f"{wrong}: write {accepted}")
        kind = (match["kind"] or "all").lower()
        span = self.span(match) if match["low"] else self.compass.notes
        notes = [midi for midi in span if KINDS[kind](midi)]
        if not notes:
            raise self.error("note-none", f"names no note: there are no {kind} there")
        return notes

    def span(self, match: re.Match[str]) -> range:
        low = self.midi(match["low"], match.start("low"))
        high = self.midi(match["high"], match.start("high")) if match["high"] else low
        if low > high:
            lower, upper = self.name(high), self.name(low)
            what = f"runs downwards: write the lower end first, {lower}-{upper}"
            raise self.error("range-reversed", what)
        return range(low, high + 1)

    def midi(self, note: str, offset: int) -> int:
        semitones, number = _spelling(note)
        if self.naming is Naming.SCIENTIFIC and semitones is not None:
            midi = (number + 1) * SEMITONES_PER_OCTAVE + semitones
        elif self.naming is Naming.MIDI:
            midi = number
        else:
            midi = self.compass.lowest_midi + number - 1
        if not self.compass.contains(midi):
            what = f"is outside this keyboard, {self.compass_text()}"
            raise self.error("note-outside-compass", what, note, offset)
        if semitones is not None and (midi - semitones) % SEMITONES_PER_OCTAVE:
            what = (
                f"contradicts itself: key {number} is {self.name(midi)} here "
                f"({note_name(midi, self.compass)} in scientific naming)"
            )
            raise self.error("note-contradictory", what, note, offset)
        return midi

    def name(self, midi: int) -> str:
        return note_name(midi, self.compass, self.naming)

    def compass_text(self) -> str:
        ends = f"{self.name(self.compass.lowest_midi)} to {self.name(self.compass.highest_midi)}"
        match self.naming:
            case Naming.SCIENTIFIC:
                keys = f"keys 1 to {len(self.compass.notes)}"
                return f"{ends} ({keys}); a letter with its key number is the naming key_number"
            case Naming.KEY_NUMBER:
                return f"{ends}; a letter with its octave is the naming scientific"
            case Naming.MIDI:
                return f"MIDI {ends}"

    def error(self, code: str, what: str, part: str = "", offset: int = 0) -> NoteError:
        position = self.position + offset
        message = f"{_quoted(part or self.text)} at character {position} {what}."
        return NoteError(code, message, position)


def _spelling(note: str) -> tuple[int | None, int]:
    """Return the semitones above C of letter and accidental, None without, and the number."""
    letter = note[0].upper()
    if letter not in SEMITONES:
        return None, int(note)
    accidental = note[1] if note[1] in ACCIDENTALS else ""
    return SEMITONES[letter] + ACCIDENTALS.get(accidental, 0), int(note[1 + len(accidental) :])


def _quoted(text: str) -> str:
    return repr(text if len(text) <= LONGEST_QUOTE else f"{text[:LONGEST_QUOTE]}…")
