"""What is behind a bad note: the probability of each cause, from everything seen of it.

The model is a leaky noisy-or over independent causes. Each cause that is there brings a sign about
by itself or fails to; the sign shows if one of them does, or for no known reason (its leak). So two
causes may be on one note, and a sign that one of them explains says less for the other. What leans
towards a cause without being brought about by it (spread, room, age) moves its odds beforehand.

At most two of the causes that explain a sign are taken to be on one note; all such sets are
counted, so the answer is exact under that assumption. Of three or more on a note only the likeliest
pairs are seen. Causes that explain none of the signs keep their odds.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import compress
from math import fsum, log10, prod
from operator import add, mul

from diagnostics.rules.formulas import Formula

NEARLY_NEVER = 1e-12

FORMULAS = (
    Formula(
        "leaky noisy-or",
        "Pearl, Probabilistic Reasoning in Intelligent Systems (1988), 4.3.2; Henrion, Some "
        "Practical Issues in Constructing Belief Networks, Uncertainty in AI 3 (1989)",
    ),
    Formula(
        "Bayes' rule over all sets of at most two causes",
        "Pearl, Probabilistic Reasoning in Intelligent Systems (1988), 2.1; sets enumerated",
    ),
    Formula(
        "weight of evidence in decibans: ten times the decimal logarithm of a factor on the odds",
        "Good, Probability and the Weighing of Evidence (1950), chapter 6",
    ),
)


@dataclass(frozen=True)
class Sign:
    """Something that was looked for and seen, or not seen.

    `leak` is how often it is seen without any cause of it. `failing` has, by its causes, how often
    one that is there does not bring it about.
    """

    said: str
    leak: float
    failing: Mapping[str, float]
    is_seen: bool = True

    def chance(self, cause: str | None = None) -> float:
        """Return how often this is as it was seen under one cause alone, or under none."""
        unseen = 1 - self.leak
        if cause is not None:
            unseen *= self.failing.get(cause, 1.0)
        return 1 - unseen if self.is_seen else unseen

    def factor(self, cause: str) -> float:
        """Return by how much it multiplies the odds of a cause, if no other is there."""
        return self.chance(cause) / self.chance()


def sign(said: str, leak: float, shares: Mapping[str, float], *, is_seen: bool = True) -> Sign:
    """Return a sign that is seen in so many cases of each cause alone, and in `leak` without one.

    A cause does not make a sign rarer than its leak.
    """
    failing = {cause: min(1.0, (1 - share) / (1 - leak)) for cause, share in shares.items()}
    return Sign(said, leak, failing, is_seen)


@dataclass(frozen=True)
class Lean:
    """Something that makes causes likelier or less likely beforehand: factors on their odds."""

    said: str
    factors: Mapping[str, float]
    shares: Mapping[str, float] = field(default_factory=dict)
    usual: float = 0.0


@dataclass(frozen=True)
class Evidence:
    """All that speaks for or against the causes of a note: their priors, and what was seen."""

    priors: Mapping[str, float]
    leans: tuple[Lean, ...] = ()
    signs: tuple[Sign, ...] = ()

    def odds(self, cause: str) -> float:
        """Return the odds of a cause before the signs."""
        prior = self.priors[cause]
        return prod(
            (lean.factors.get(cause, 1.0) for lean in self.leans), start=prior / (1 - prior)
        )


@dataclass(frozen=True)
class Posterior:
    """The probability of each cause on a note, and what the sets of causes come to.

    They need not add to one, since a note can have two causes. `unknown` is the probability that
    none of them explains the signs, `within` that those which do are all of the asked kind.
    `likeliest` is the likeliest set of causes, and `likeliest_probability` its own.
    """

    probabilities: Mapping[str, float]
    unknown: float
    within: float
    likeliest: tuple[str, ...]
    likeliest_probability: float


def posterior(evidence: Evidence, within: frozenset[str] = frozenset()) -> Posterior:
    """Return what is believed of the causes, given the evidence.

    `within` are the causes of a kind that is asked for, such as those that the room can cure.
    Without any sign seen nothing needs explaining, and the odds stand as they are.
    """
    odds = {cause: evidence.odds(cause) for cause in evidence.priors}
    for each in evidence.signs:
        if not each.is_seen:
            for cause in each.failing.keys() & odds.keys():
                odds[cause] *= each.failing[cause]
    seen = [each for each in evidence.signs if each.is_seen]
    brought = {cause for each in seen for cause, failing in each.failing.items() if failing < 1}
    explaining = [cause for cause in odds if cause in brought]
    sets = _Sets(explaining, odds, seen, within)
    probabilities = {cause: each / (1 + each) for cause, each in odds.items()}
    for cause, weight in zip(explaining, sets.with_cause, strict=True):
        probabilities[cause] = weight / sets.total
    return Posterior(
        probabilities=probabilities,
        unknown=sets.none / sets.total if seen else 0.0,
        within=sets.within / sets.total,
        likeliest=tuple(explaining[place] for place in sets.likeliest),
        likeliest_probability=sets.largest / sets.total,
    )


class _Sets:
    """The weights of all sets of at most two causes, each that of its odds times its signs."""

    def __init__(
        self,
        causes: Sequence[str],
        odds: Mapping[str, float],
        seen: Sequence[Sign],
        within: frozenset[str],
    ) -> None:
        self._inside = [cause in within for cause in causes]
        self._odds = [odds[cause] for cause in causes]
        self._signs = [_Weighed(each, causes) for each in seen]
        self._single = list(self._odds)
        for each in self._signs:
            self._single = list(map(mul, self._single, each.chances))
        self.none = prod(each.leak for each in seen)
        self.with_cause = list(self._single)
        self.total = self.none + fsum(self._single)
        self.within = fsum(compress(self._single, self._inside))
        self.largest, self.likeliest = max(
            [(self.none, ()), *((each, (place,)) for place, each in enumerate(self._single))]
        )
        for first in range(len(causes) - 1):
            self._add_pairs(first)

    def _add_pairs(self, first: int) -> None:
        """Add the sets of the cause at `first` with each later one."""
        pairs = self._pairs(first)
        together = fsum(pairs)
        self.total += together
        self.with_cause[first] += together
        start = first + 1
        self.with_cause[start:] = map(add, self.with_cause[start:], pairs)
        if self._inside[first]:
            self.within += fsum(compress(pairs, self._inside[start:]))
        largest = max(pairs)
        if largest > self.largest:
            self.largest, self.likeliest = largest, (first, start + pairs.index(largest))

    def _pairs(self, first: int) -> list[float]:
        """Return the weights of the sets of the cause at `first` with each later one.

        A sign that the first does not bring about is as likely as under the later one alone.
        """
        start, odds = first + 1, self._odds[first]
        pairs = [odds * single for single in self._single[start:]]
        for each in self._signs:
            failing = each.failing[first]
            if failing < 1:
                both = (1 - each.leak) * failing
                pairs = [
                    pair * (1 - both * fails) / chance
                    for pair, fails, chance in zip(
                        pairs, each.failing[start:], each.chances[start:], strict=True
                    )
                ]
        return pairs


class _Weighed:
    """A sign that was seen: by the places of causes, how often each fails to bring it about.

    `chances` are those of seeing it under each cause alone.
    """

    def __init__(self, seen: Sign, causes: Sequence[str]) -> None:
        self.leak = seen.leak
        self.failing = [seen.failing.get(cause, 1.0) for cause in causes]
        self.chances = [1 - (1 - seen.leak) * failing for failing in self.failing]


def decibans(factor: float) -> float:
    """Return the weight of a factor on the odds, in decibans."""
    return 10 * log10(factor)


def log_odds_decibans(probability: float) -> float:
    """Return the log odds of a probability, which is taken to be at least 1e-12 from 0 and 1."""
    inside = min(max(probability, NEARLY_NEVER), 1 - NEARLY_NEVER)
    return decibans(inside / (1 - inside))
