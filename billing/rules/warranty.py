"""Which faults come back under the shop's warranty."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from shop.rules.words import Words, said


@dataclass(frozen=True)
class DoneWork:
    """Work of a completed job on a component of a note; without one, of the whole instrument."""

    quote_id: int
    done_on: date
    component_id: int
    note_midi: int | None


@dataclass(frozen=True)
class FoundAgain:
    """A fault of a component on a note, or on the whole instrument, and when it was found."""

    found_on: date
    component_id: int
    note_midi: int | None


def covering(found: FoundAgain, done: Iterable[DoneWork], warranty_days: int) -> DoneWork | None:
    """Return the last work on the same note and component whose warranty still held, if any.

    Work on the whole instrument was work on each of its notes. The last day of the warranty
    counts. It is the shop's own promise: what the law gives the client stands beside it.
    """
    return max(
        (work for work in done if _covers(work, found, warranty_days)),
        key=lambda work: (work.done_on, work.quote_id),
        default=None,
    )


def _covers(work: DoneWork, found: FoundAgain, warranty_days: int) -> bool:
    is_same = work.component_id == found.component_id and work.note_midi in {None, found.note_midi}
    return is_same and 0 <= (found.found_on - work.done_on).days <= warranty_days


def warranty_reason(work: DoneWork, words: Words) -> str:
    """Return what stands on a line that costs nothing: which job, and which day."""
    told = "Warranty: quote {number}, done on {day}."
    return said(words, told, number=work.quote_id, day=work.done_on)
