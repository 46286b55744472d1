"""A work-sheet as text, for a terminal or a printer: boxes to tick and lines to write on."""

import textwrap
from collections.abc import Iterable, Iterator

from diagnostics.rules.check_words import minutes_text, percent_text
from diagnostics.rules.keyboard import EVERY_NOTE
from diagnostics.rules.note_names import notes_text
from diagnostics.rules.planned_checks import CheckText, PlannedCheck, PlannedNotes
from diagnostics.rules.work_sheet import FirstCheck, SheetLevel, SheetNotes, SheetRemedy, WorkSheet
from shop.rules.quantities import plain

WIDTH = 80
BOX = "[ ] "
WHOLE = "the whole instrument"


def work_sheet_text(sheet: WorkSheet, width: int = WIDTH) -> str:
    """Return the sheet as lines of at most `width` columns, ended by a line feed each.

    Words are never cut, so one that is longer than a line makes a longer line.
    """
    writer = _Writer(width)
    return "\n".join(line for part in writer.parts(sheet) for line in part).rstrip() + "\n"


class _Writer:
    """Writes the parts of a sheet, each as its lines; a part without anything in it is left out."""

    def __init__(self, width: int) -> None:
        self._width = width
        self._number = 0

    def parts(self, sheet: WorkSheet) -> Iterator[list[str]]:
        yield list(self._head(sheet))
        yield self._part("Before anything is opened", map(self._first, sheet.first))
        for level in sheet.levels:
            yield self._level(level)
        yield self._part("Sure enough already", map(self._known, sheet.decided))
        yield self._part("Open, with nothing left to ask", map(self._known, sheet.nothing_left))
        yield self._part("Likely work", map(self._remedy, sheet.remedies))
        taken = [f"{plain(each.quantity)} {each.unit}: {each.name}" for each in sheet.parts]
        yield self._part("Parts to take", (self._ticked(each) for each in taken))
        yield self._part("Tools to take", (self._ticked(each.name) for each in sheet.tools))
        warned = (self._text(f"{each.title}. {each.text}", "  ") for each in sheet.cautions)
        yield self._part("Cautions", warned)

    def _head(self, sheet: WorkSheet) -> Iterator[str]:
        yield from self._text(f"Work-sheet: {sheet.instrument}")
        yield from self._text(f"{sheet.client}, {sheet.place}")
        if sheet.complaint:
            yield from self._text(f"Complaint: {sheet.complaint}")
        yield from self._text(f"So far: {sheet.verdict}")
        yield from self._text(
            f"Checks are expected to take {minutes_text(sheet.expected_minutes)} until every cause "
            f"is {plain(sheet.sure_percent)} % sure; stop on a note as soon as its cause is. Below "
            "each check, + is what is likeliest if it shows the fault, - if it does not."
        )
        yield ""

    def _part(self, title: str, items: Iterable[Iterable[str]]) -> list[str]:
        lines = [line for item in items for line in item]
        return [title.upper(), *lines, ""] if lines else []

    def _first(self, check: FirstCheck) -> Iterator[str]:
        yield from self._ticked(f"{check.text.name} ({minutes_text(check.minutes)})")
        yield from self._how(check.text)

    def _level(self, level: SheetLevel) -> list[str]:
        title = level.name
        if level.minutes > 0:
            title += f" ({minutes_text(level.minutes)})"
        return self._part(title, map(self._check, level.checks))

    def _check(self, check: PlannedCheck) -> Iterator[str]:
        self._number += 1
        title = f"{self._number}. {check.text.name}: {self._notes(check.notes)}"
        yield from self._ticked(f"{title} ({minutes_text(check.minutes)})")
        yield from self._how(check.text)
        yield from self._text(check.reason, "    ")
        for each in check.tells:
            yield from self._answers(each, is_only=len(check.tells) == 1)

    def _answers(self, told: PlannedNotes, *, is_only: bool) -> Iterator[str]:
        where = "" if is_only else f"{self._notes(told.notes)}: "
        for sign, answer in (("+", told.positive), ("-", told.negative)):
            cause = answer.causes[0]
            sure = ": sure" if answer.decided else ""
            said = f"{cause.name}, {percent_text(cause.probability)}{sure}"
            yield from self._text(f"{sign} {where}{said}", "    ", "      ")

    def _how(self, text: CheckText) -> Iterator[str]:
        yield from self._text(text.instruction, "    ")
        if text.reads_as:
            yield from self._text(text.reads_as, "    ")

    def _known(self, known: SheetNotes) -> Iterator[str]:
        causes = ", ".join(
            f"{cause.name} ({percent_text(cause.probability)})" for cause in known.causes
        )
        yield from self._text(f"{self._notes(known.notes)}: {causes}", "  ", "    ")

    def _remedy(self, remedy: SheetRemedy) -> Iterator[str]:
        title = f"{remedy.name}: {self._notes(remedy.notes)}"
        yield from self._ticked(f"{title} ({minutes_text(remedy.minutes)}, {remedy.set_up_name})")
        for cause in remedy.causes:
            yield from self._text(f"if {cause.name} ({percent_text(cause.probability)})", "    ")
        if remedy.pins:
            yield from self._text(f"{remedy.pins} centre pins, sizes at the bench", "    ")

    def _notes(self, notes: tuple[int, ...]) -> str:
        return notes_text(notes, EVERY_NOTE) if notes else WHOLE

    def _ticked(self, text: str) -> list[str]:
        return self._text(text, BOX, " " * len(BOX))

    def _text(self, text: str, first: str = "", later: str | None = None) -> list[str]:
        return textwrap.wrap(
            " ".join(text.split()),
            self._width,
            initial_indent=first,
            subsequent_indent=first if later is None else later,
            break_long_words=False,
            break_on_hyphens=False,
        )
