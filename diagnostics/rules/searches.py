"""From a diagnosis to the searches that are left: what to ask on which notes.

A search takes one cause to be behind a note: a known one, in proportion to the probabilities of the
diagnosis, or one that is not in the catalogue, as far as none of the known ones explains it.
"""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import fsum
from operator import itemgetter

from diagnostics.rules.cause_figures import Figures
from diagnostics.rules.causes import Sign, sign
from diagnostics.rules.check_round import Trouble
from diagnostics.rules.diagnosis import NoteDiagnosis
from diagnostics.rules.measured_signs import measured_signs
from diagnostics.rules.possible_checks import Access, PossibleCheck, search_for
from diagnostics.rules.signs import SAYS_NOTHING, InstrumentSeen, NoteSeen, shared

# What is behind a note when none of the catalogue's causes is.
UNKNOWN = "unknown"
# A cause less probable than this moves no order of checks. Estimate.
LEAST_PROBABLE = 0.01


@dataclass(frozen=True)
class CheckWork:
    """How a check is made: expected minutes, the access it needs, on each note or once for all."""

    code: str
    minutes: float
    access: Access
    per_note: bool = True


@dataclass(frozen=True)
class Decided:
    """Notes, none for the whole instrument, of which a cause is sure enough already."""

    notes: tuple[int, ...]
    cause: str
    probability: float


@dataclass(frozen=True)
class Searches:
    """The causes that are sure, and the troubles whose cause is still looked for."""

    decided: tuple[Decided, ...]
    troubles: tuple[Trouble, ...]


class Asker:
    """Knows what can still be asked on the notes of one instrument.

    `answered` has a check's code with the note it was made on, or with None for the instrument, as
    soon as a result is recorded, be it unclear.
    """

    def __init__(
        self,
        figures: Figures,
        seen: InstrumentSeen,
        works: Sequence[CheckWork],
        answered: Collection[tuple[str, int | None]],
    ) -> None:
        self._figures = figures
        self._room = seen.room
        self._notes = {note.midi: note for note in seen.notes}
        self._works = [work for work in works if (work.code, None) not in answered]
        self._answered = answered
        others = max(0, len(seen.notes) - 1)
        self._signs = {work.code: self._sign(work, others) for work in self._works}

    def searches(self, notes: Iterable[NoteDiagnosis], sure: float) -> Searches:
        """Return what is sure of the notes diagnosed, and what is still to be looked for."""
        decided, troubles = [], []
        for each in notes:
            likeliest = max(each.probabilities.items(), key=itemgetter(1), default=(UNKNOWN, 0.0))
            if likeliest[1] >= sure:
                decided.append(Decided(_midis(each.notes), *likeliest))
                continue
            for trouble in self._troubles(each, sure):
                if cause := trouble.search.cause:
                    decided.append(Decided(trouble.notes, cause, trouble.search.belief[cause]))
                else:
                    troubles.append(trouble)
        return Searches(tuple(decided), tuple(troubles))

    def _troubles(self, diagnosed: NoteDiagnosis, sure: float) -> Iterator[Trouble]:
        """Yield a trouble for the notes on which the same can be asked."""
        belief = _belief(diagnosed)
        together: dict[tuple[str, ...], list[int | None]] = {}
        for midi in diagnosed.notes:
            together.setdefault(tuple(self._open(midi)), []).append(midi)
        for codes, midis in together.items():
            checks = [self._check(work, belief) for work in self._works if work.code in codes]
            yield Trouble(_midis(midis), search_for(belief, checks, sure=sure))

    def _open(self, midi: int | None) -> Iterator[str]:
        """Yield the checks that nobody has made on a note, nor measured what they measure."""
        note = self._notes[midi]
        measured = measured_signs(self._figures, note.measured).checks
        for work in self._works:
            is_answered = (work.code, midi) in self._answered or work.code in measured
            if not (is_answered or self._restated(work, note)):
                yield work.code

    def _restated(self, work: CheckWork, note: NoteSeen) -> bool:
        """Return whether the check would only say again what room and spread say already."""
        is_known = not SAYS_NOTHING & {self._room, note.spread}
        return is_known and self._figures.checks[work.code].restates_room_and_spread

    def _check(self, work: CheckWork, belief: Mapping[str, float]) -> PossibleCheck:
        seen = self._signs[work.code]
        return PossibleCheck(
            code=work.code,
            minutes=work.minutes,
            access=work.access,
            positive_shares={
                cause: seen.chance(cause) for cause in seen.failing if cause in belief
            },
            false_positive_share=seen.leak,
            per_note=work.per_note,
        )

    def _sign(self, work: CheckWork, others: int) -> Sign:
        """Return how often the check is positive; made once, any bad note may be what shows it."""
        check = self._figures.checks[work.code]
        shares = self._figures.shares_of_check(work.code)
        seen = sign(check.name, check.false_positive_share, shares)
        return seen if work.per_note else shared(seen, self._figures, others)


def _belief(diagnosed: NoteDiagnosis) -> dict[str, float]:
    """Return the causes worth asking about, with what is left of one when none explains it."""
    probable = {
        cause: probability
        for cause, probability in diagnosed.probabilities.items()
        if probability >= LEAST_PROBABLE
    }
    known = 1 - diagnosed.unknown if probable else 0.0
    together = fsum(probable.values())
    shares = {cause: known * each / together for cause, each in probable.items()}
    return {**shares, UNKNOWN: 1 - known}


def _midis(notes: Iterable[int | None]) -> tuple[int, ...]:
    return tuple(sorted(midi for midi in notes if midi is not None))
