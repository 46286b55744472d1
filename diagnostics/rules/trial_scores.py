"""How well the diagnosis and the order of checks do on instruments whose causes are known."""

import itertools
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from math import fsum

from diagnostics.rules.cause_figures import Figures
from diagnostics.rules.check_order import Choice, best_check, first_check, follow
from diagnostics.rules.diagnosis import diagnosis
from diagnostics.rules.possible_checks import PossibleCheck, search_for
from diagnostics.rules.searches import LEAST_PROBABLE, CheckWork
from diagnostics.rules.signs import InstrumentSeen, NoteSeen
from diagnostics.rules.trial import Drawn, Nature

TOP = 3
# Edges of the reliability table; below the first nothing is counted.
EDGES = (0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0)


@dataclass
class Bin:
    """Probabilities of one step of the reliability table, and how often they came true."""

    low: float
    high: float
    said: list[float] = field(default_factory=list)
    true: int = 0

    @property
    def mean_said(self) -> float:
        """The mean of the probabilities."""
        return fsum(self.said) / len(self.said) if self.said else 0.0

    @property
    def share_true(self) -> float:
        """The share that came true."""
        return self.true / len(self.said) if self.said else 0.0


@dataclass
class Ranked:
    """How often a true cause was ranked first, and among the first three."""

    notes: int = 0
    first: int = 0
    among_three: int = 0

    def add(self, probabilities: Mapping[str, float], causes: frozenset[str]) -> None:
        """Count one note."""
        ranked = sorted(probabilities, key=lambda code: (-probabilities[code], code))
        self.notes += 1
        self.first += ranked[0] in causes
        self.among_three += bool(causes.intersection(ranked[:TOP]))


@dataclass
class Searched:
    """How the searches went that followed one order: minutes, and causes found and rightly."""

    minutes: float = 0.0
    checks: int = 0
    found: int = 0
    right: int = 0


@dataclass
class Scores:
    """The scores of a trial: before any check, and after those of the best order."""

    before: Ranked = field(default_factory=Ranked)
    after: Ranked = field(default_factory=Ranked)
    best: Searched = field(default_factory=Searched)
    fixed: Searched = field(default_factory=Searched)
    bins: list[Bin] = field(
        default_factory=lambda: [Bin(*edges) for edges in itertools.pairwise(EDGES)]
    )

    def add_probabilities(self, probabilities: Mapping[str, float], causes: frozenset[str]) -> None:
        """Count every probability of one note in the reliability table."""
        for code, probability in probabilities.items():
            for each in self.bins:
                if each.low <= probability < each.high:
                    each.said.append(probability)
                    each.true += code in causes


class Trial:
    """Tries the diagnosis by `figures` on instruments that a `nature` of its own draws.

    `sure` is the probability from which a cause counts as found.
    """

    def __init__(
        self, figures: Figures, nature: Nature, works: Sequence[CheckWork], sure: float
    ) -> None:
        self._figures = figures
        self._nature = nature
        self._works = works
        self._sure = sure

    def run_one(self, scores: Scores) -> None:
        """Draw an instrument, diagnose it, look for the cause of its first bad note, and count."""
        drawn = self._nature.instrument()
        believed = self._believed(drawn.seen)
        for note, causes in zip(drawn.seen.notes, drawn.causes, strict=True):
            scores.before.add(believed[note.midi], causes)
            scores.add_probabilities(believed[note.midi], causes)
        self._search(drawn, believed[drawn.seen.notes[0].midi], scores)

    def _believed(self, seen: InstrumentSeen) -> dict[int | None, Mapping[str, float]]:
        groups = diagnosis(self._figures, seen).notes
        return {midi: group.probabilities for group in groups for midi in group.notes}

    def _search(self, drawn: Drawn, believed: Mapping[str, float], scores: Scores) -> None:
        causes = drawn.causes[0]
        answers = {work.code: self._nature.answer(work.code, causes) for work in self._works}
        made = self._follow(believed, best_check, answers, causes, scores.best)
        self._follow(believed, first_check, answers, causes, scores.fixed)
        first = drawn.seen.notes[0]
        results = {code: answers[code] for code in made}
        seen = NoteSeen(first.midi, first.faults, results=results, spread=first.spread)
        alone = InstrumentSeen((seen,), room=drawn.seen.room, age_years=drawn.seen.age_years)
        scores.after.add(self._believed(alone)[first.midi], causes)

    def _follow(
        self,
        believed: Mapping[str, float],
        choose: Choice,
        answers: Mapping[str, bool],
        causes: frozenset[str],
        searched: Searched,
    ) -> tuple[str, ...]:
        """Return the checks that an order makes, and count how it went."""
        probable = {code: share for code, share in believed.items() if share >= LEAST_PROBABLE}
        search = search_for(probable, self._checks(probable), sure=self._sure)
        followed = follow(search, choose, lambda check: answers[check.code])
        searched.minutes += followed.minutes
        searched.checks += len(followed.made)
        searched.found += followed.cause is not None
        searched.right += followed.cause in causes
        return followed.made

    def _checks(self, probable: Iterable[str]) -> list[PossibleCheck]:
        codes = set(probable)
        return [
            PossibleCheck(
                code=work.code,
                minutes=work.minutes,
                access=work.access,
                positive_shares={
                    cause: share
                    for cause, share in self._figures.shares_of_check(work.code).items()
                    if cause in codes
                },
                false_positive_share=self._figures.checks[work.code].false_positive_share,
            )
            for work in self._works
            if not self._figures.checks[work.code].restates_room_and_spread
        ]
