"""Reading what was posted: notes by name, entries of the catalogue by code, every error at once."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from diagnostics.queries.catalogue import entries_named
from diagnostics.queries.instruments import compass_of
from diagnostics.rules.note_names import Naming, NoteError, notes_text, parse_notes
from shop.errors import FieldError, InvalidInput, Refused
from shop.models import Instrument

# A phone's clock may run ahead of the server's by this much.
CLOCK_TOLERANCE = timedelta(minutes=5)
# A row may name a whole keyboard, so that a small request could ask for a great many.
MOST_STORED = 2000


@dataclass(frozen=True)
class Sent:
    """A row to be stored: what it says, on which note, and where in the request it stands."""

    pointer: str
    note_midi: int | None
    what: tuple[Any, ...]


class DraftReader:
    """Reads drafts about one instrument, and gathers what is wrong with them in `errors`.

    `codes` are the catalogue's codes that the drafts name, by noun; they cost one query together.
    """

    def __init__(
        self,
        instrument: Instrument,
        codes: Mapping[str, Iterable[str]],
        naming: str = Naming.SCIENTIFIC,
        errors: Iterable[FieldError] = (),
    ) -> None:
        self.action = instrument.action
        self.compass = compass_of(instrument)
        self.naming = naming
        self.entries = entries_named(codes)
        self.errors = list(errors)

    def wrong(self, pointer: str, code: str, detail: str) -> None:
        """Note that what stands at `pointer` is wrong."""
        self.errors.append(FieldError(pointer, code, detail))

    def entry_id(self, noun: str, code: str, pointer: str) -> int | None:
        """Return the id of an entry that this action has; None without a code or with an error."""
        if not code:
            return None
        entry = self.entries.get((noun, code))
        if entry is None:
            self.wrong(pointer, f"{noun}-unknown", f"The catalogue has no {noun} {code!r}.")
            return None
        if self.action not in entry.actions:
            known = " or ".join(entry.actions)
            detail = f"The {noun} {code!r} is found in {known} actions; this one is {self.action}."
            self.wrong(pointer, "not-in-this-action", detail)
            return None
        return entry.id

    def notes(self, text: str, pointer: str) -> tuple[int, ...]:
        """Return the MIDI numbers of the notes that `text` names; none when it cannot be read."""
        try:
            return parse_notes(text, self.compass, self.naming)
        except NoteError as error:
            self.wrong(pointer, error.code, str(error))
            return ()

    def notes_or_instrument(self, text: str, pointer: str) -> tuple[int | None, ...]:
        """Return notes as `notes` does, and one None, the whole instrument, for an empty text."""
        return self.notes(text, pointer) if text.strip() else (None,)

    def refuse_beyond(self, count: int, pointer: str) -> None:
        """Go on only while `count` rows, up to the one at `pointer`, can be stored at once.

        Raises:
            InvalidInput: `too-many-notes`.
        """
        if count > MOST_STORED:
            detail = f"With this row there are {count} notes; send at most {MOST_STORED} at once."
            error = FieldError(f"{pointer}/note", "too-many-notes", detail)
            raise InvalidInput("invalid-input", detail, (error,))

    def refuse_repeats(
        self, rows: Iterable[Sent], recorded: Iterable[tuple[Any, ...]], code: str
    ) -> None:
        """Note each row that says of a note what another says, or what is `recorded` already.

        A recorded row is its note followed by what it says. `code` stands for what is recorded.
        """
        seen = dict.fromkeys(recorded, code)
        repeats: dict[tuple[str, str], list[int | None]] = {}
        for row in rows:
            key = (row.note_midi, *row.what)
            if key in seen:
                repeats.setdefault((row.pointer, seen[key]), []).append(row.note_midi)
            seen.setdefault(key, "given-twice")
        for (pointer, found), notes in repeats.items():
            where = "in this request" if found == "given-twice" else "in this examination"
            detail = f"The same stands {where} already, on {self._text_of(notes)}."
            self.wrong(f"{pointer}/note", found, detail)

    def _text_of(self, notes: list[int | None]) -> str:
        known = [note for note in notes if note is not None]
        return notes_text(known, self.compass, self.naming) or "the whole instrument"

    def refuse(self, conflict: str = "") -> None:
        """Go on only when nothing is wrong.

        Raises:
            Refused: `conflict`, when every error has this code: the values are good in themselves.
            InvalidInput: `invalid-input`, with every error.
        """
        refuse_wrong(self.errors, conflict)


def refuse_wrong(errors: Sequence[FieldError], conflict: str = "") -> None:
    """Go on only when there are no errors.

    Raises:
        Refused: `conflict`, when every error has this code: the values are good in themselves.
        InvalidInput: `invalid-input`, with every error in the order of the rows.
    """
    if not errors:
        return
    detail = f"{len(errors)} values cannot be accepted, and nothing was stored; see `errors`."
    if len(errors) == 1:
        detail = errors[0].detail
    in_order = tuple(sorted(errors, key=_row_of))
    if {error.code for error in errors} == {conflict}:
        raise Refused(conflict, detail, in_order)
    raise InvalidInput("invalid-input", detail, in_order)


def _row_of(error: FieldError) -> int:
    row = error.pointer[1:].partition("/")[0]
    return int(row) if row.isdigit() else 0


def refuse_future(instant: datetime, now: datetime, pointer: str) -> None:
    """Go on only when `instant` has come.

    Raises:
        InvalidInput: `in-the-future`, pointing at `pointer`.
    """
    if error := future_error(instant, now, pointer):
        raise InvalidInput("invalid-input", error.detail, (error,))


def future_error(instant: datetime, now: datetime, pointer: str) -> FieldError | None:
    """Return what is wrong with an `instant` that is still to come, None with one that has."""
    if instant <= now + CLOCK_TOLERANCE:
        return None
    detail = f"{instant:%Y-%m-%d %H:%M} UTC is still to come; it is {now:%Y-%m-%d %H:%M} UTC."
    return FieldError(pointer, "in-the-future", detail)
