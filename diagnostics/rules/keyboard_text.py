"""A keyboard drawn for a terminal, with what was found on each note.

A natural takes two columns. A sharp stands where it stands on the piano, over the line between its
two naturals, so that marks side by side are keys side by side.
"""

import textwrap
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import count, pairwise

from diagnostics.rules.keyboard import SEMITONES_PER_OCTAVE, Compass, is_natural, is_sharp
from diagnostics.rules.keyboard_words import Faults, compass_words, counted, printable
from diagnostics.rules.note_names import note_name, notes_text

NARROWEST = 40
SEVERAL = "*"
SEVERAL_NAME = "several of these"
SHARP = "█"
MARGIN = "   "
# Left edge, lines between naturals, right edge, what stands between the lines.
BACK = ("┌", "┬", "┐", "─")
KEYS = ("│", "│", "│", " ")
FRONT = ("└", "┴", "┘", "─")
# Bold, and a colour that reads on light and on dark. Source: ECMA-48, Select Graphic Rendition.
BOLD = "1"
COLOURS = ("1;31", "1;34", "1;35", "1;32", "1;36")

Findings = Mapping[int, Sequence[str]]


def keyboard_text(
    compass: Compass,
    findings: Findings,
    faults: Faults,
    *,
    title: str = "Keyboard",
    width: int = 100,
    colour: bool = False,
) -> str:
    """Return the keyboard drawn with a letter per fault, and a legend that counts the notes.

    `findings` gives the fault codes of each note by MIDI number, `faults` the letter and name of
    each code. A note with several faults is marked `*`, listed in the legend and counted under each
    of them. Where `width` columns are too few the keyboard is cut between two naturals. `colour`
    adds ANSI codes; nothing is told by colour alone.

    Raises:
        ValueError: the width is under 40, a note is not on the keyboard, a fault is not in
            `faults`, or faults found share a letter or have a mark that is not a letter or digit.
    """
    if width < NARROWEST:
        raise ValueError(f"A keyboard takes at least {NARROWEST} columns, not {width}.")
    _refuse_unknown(compass, findings, faults)
    marked = {
        midi: tuple(code for code in faults if code in findings[midi])
        for midi in sorted(findings)
        if findings[midi]
    }
    found = {code: faults[code] for code in faults if any(code in has for has in marked.values())}
    _refuse_unclear([letter for letter, _ in found.values()])
    chart = _Chart(compass, marked, found, width, in_colour=colour)
    lines = chart.heading(title)
    for part in _parts(compass, width):
        lines += ["", *chart.drawn(part)]
    return "\n".join([*lines, *chart.legend()])


def _refuse_unknown(compass: Compass, findings: Findings, faults: Faults) -> None:
    for midi, codes in findings.items():
        if not compass.contains(midi):
            raise ValueError(f"MIDI note {midi} is not on this keyboard.")
        unknown = sorted(set(codes) - set(faults))
        if unknown:
            raise ValueError(f"No letter is given for the faults {unknown} of MIDI note {midi}.")


def _refuse_unclear(letters: Sequence[str]) -> None:
    for letter in letters:
        # Of other alphabets every sign will do, as the catalogue has it.
        is_letter = len(letter) == 1 and (letter.isalnum() or not letter.isascii())
        if not (is_letter and letter.isprintable()):
            raise ValueError(f"A fault is marked by one letter or digit, not {letter!r}.")
    if len(set(letters)) < len(letters):
        raise ValueError(f"Each fault has a letter of its own, unlike these: {letters}.")


@dataclass(frozen=True)
class _Chart:
    """What is known of a keyboard: the codes on each marked note, the letter and name of each."""

    compass: Compass
    marked: Mapping[int, tuple[str, ...]]
    faults: Faults
    width: int
    in_colour: bool

    def heading(self, title: str) -> list[str]:
        keys = compass_words(self.compass)
        texts = f"{printable(title)}, {keys}", f"Marked: {counted(self.marked)}"
        return [line for text in texts for line in textwrap.wrap(text, self.width)]

    def drawn(self, part: range) -> list[str]:
        """Return the rows of one part, from the names of its notes to the front of its keys."""
        columns = _columns(part)
        length = _length(part)
        sharps = {columns[midi]: SHARP for midi in part if is_sharp(midi)}
        tips = {columns[midi]: self.mark(midi) or SHARP for midi in part if is_sharp(midi)}
        fronts = {columns[midi]: self.mark(midi) or " " for midi in part if is_natural(midi)}
        behind = {column: "─" for column in sharps if 0 < column < length - 1}
        return [
            _names(part, self.compass),
            _row(BACK, length, behind),
            _row(KEYS, length, sharps),
            _row(KEYS, length, tips),
            _row(KEYS, length, fronts),
            _row(FRONT, length, {}),
        ]

    def mark(self, midi: int) -> str:
        codes = self.marked.get(midi, ())
        if not codes:
            return ""
        return self.painted(SEVERAL if len(codes) > 1 else self.faults[codes[0]][0])

    def painted(self, mark: str) -> str:
        if not self.in_colour:
            return mark
        letters = [letter for letter, _ in self.faults.values()]
        colour = COLOURS[letters.index(mark) % len(COLOURS)] if mark in letters else BOLD
        return f"\x1b[{colour}m{mark}\x1b[0m"

    def legend(self) -> list[str]:
        if not self.faults:
            return []
        several = {midi: codes for midi, codes in self.marked.items() if len(codes) > 1}
        names = {letter: printable(name) for letter, name in self.faults.values()}
        longest = max(map(len, [*names.values(), SEVERAL_NAME]))
        entries = [
            (letter, names[letter], [midi for midi, codes in self.marked.items() if code in codes])
            for code, (letter, _) in self.faults.items()
        ]
        if several:
            entries.append((SEVERAL, SEVERAL_NAME, list(several)))
        rows = [""]
        for mark, name, notes in entries:
            text = f"{name:<{longest}}  {counted(notes)}"
            rows += self.entry(self.painted(mark), text)
        for combination in dict.fromkeys(several.values()):
            letters = "+".join(self.faults[code][0] for code in combination)
            notes = [midi for midi, codes in several.items() if codes == combination]
            rows += self.entry(" ", f"{letters}: {notes_text(notes, self.compass)}")
        return rows

    def entry(self, mark: str, text: str) -> list[str]:
        """Return a legend's entry, its mark standing alone in the margin."""
        first, *others = textwrap.wrap(text, self.width - len(MARGIN))
        return [f"{mark}{MARGIN[1:]}{first}", *(MARGIN + line for line in others)]


def _parts(compass: Compass, width: int) -> list[range]:
    """Return the keyboard in the fewest parts of about one length that `width` columns hold."""
    cuts = (_cut(compass, parts) for parts in count(1))
    return next(parts for parts in cuts if all(_length(part) <= width for part in parts))


def _cut(compass: Compass, parts: int) -> list[range]:
    """Return the keyboard cut where two naturals meet, as near as that is to equal parts."""
    lowest, *others = compass.notes
    seams = [midi for midi in others if is_natural(midi) and is_natural(midi - 1)]
    size = len(compass.notes) / parts
    wanted = [lowest + size * part for part in range(1, parts)]
    cuts = {min(seams, key=lambda seam: abs(seam - place)) for place in wanted}
    return [range(*ends) for ends in pairwise([lowest, *sorted(cuts), compass.highest_midi + 1])]


def _length(part: range) -> int:
    """Return how many columns a part takes: two for a natural, and one to close it."""
    return 2 * sum(map(is_natural, part)) + 1


def _columns(part: range) -> dict[int, int]:
    """Return the column of each note: naturals in odd ones, sharps in even, on the line between."""
    columns = {}
    line = 0
    for midi in part:
        columns[midi] = line + is_natural(midi)
        line += 2 * is_natural(midi)
    return columns


def _row(frame: tuple[str, str, str, str], length: int, cells: Mapping[int, str]) -> str:
    """Return a row of `frame` (left edge, lines, right edge, between) with `cells` put in."""
    left, line, right, between = frame
    row = [between if column % 2 else line for column in range(length)]
    row[0], row[-1] = left, right
    return "".join(cells.get(column, drawn) for column, drawn in enumerate(row))


def _names(part: range, compass: Compass) -> str:
    """Return the row that names each C, and the first and last note where there is room."""
    columns, length = _columns(part), _length(part)
    row = " " * length
    octaves = [midi for midi in part if midi % SEMITONES_PER_OCTAVE == 0]
    for midi in dict.fromkeys([*octaves, part[0], part[-1]]):
        name, column = note_name(midi, compass), columns[midi]
        end = column + len(name)
        if end <= length and not row[max(column - 1, 0) : end + 1].strip():
            row = f"{row[:column]}{name}{row[end:]}"
    return row.rstrip()
