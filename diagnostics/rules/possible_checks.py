"""Checks that can be made, and what their answers do to what is believed.

A belief gives each cause its probability; exactly one of them is the cause, so a belief that may be
wrong about all of them names that as one cause more. Answers to different checks are taken to be
independent once the cause is known.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from math import fsum, log2

Belief = Mapping[str, float]

# What the last digits of a sum of floats may be off by.
ROUNDING = 1e-12


@dataclass(frozen=True)
class Access:
    """Getting at the work, in minutes from closed; a deeper one includes every shallower one."""

    code: str = "none"
    depth: int = 0
    minutes: float = 0.0

    def minutes_from(self, opened: "Access") -> float:
        """Return the minutes of getting here when the piano stands open as far as `opened`."""
        return max(0.0, self.minutes - opened.minutes) if self.depth > opened.depth else 0.0


CLOSED = Access()


@dataclass(frozen=True)
class PossibleCheck:
    """A check that can be made: expected minutes, its access, and how often it is positive.

    `positive_shares` gives the probability of a positive answer under each cause that the check is
    meant to show; under any other it is `false_positive_share`. One that is not `per_note` is made
    once and answers for every note.
    """

    code: str
    minutes: float
    access: Access = CLOSED
    positive_shares: Mapping[str, float] = field(default_factory=dict)
    false_positive_share: float = 0.0
    per_note: bool = True

    def __post_init__(self) -> None:
        shares = (self.false_positive_share, *self.positive_shares.values())
        if self.minutes < 0 or not all(0 <= share <= 1 for share in shares):
            raise ValueError(f"Check {self.code}: minutes are not negative, shares are 0 to 1.")

    def share(self, cause: str) -> float:
        """Return the probability of a positive answer under `cause`."""
        return self.positive_shares.get(cause, self.false_positive_share)


def normalised(belief: Belief) -> dict[str, float]:
    """Return `belief` without impossible causes, its probabilities adding to one.

    Raises:
        ValueError: a weight is negative, or there is none above zero.
    """
    total = fsum(belief.values())
    if total <= 0 or min(belief.values()) < 0:
        raise ValueError("A belief gives no cause a negative weight, and at least one a positive.")
    return {cause: weight / total for cause, weight in belief.items() if weight > 0}


def chance_positive(belief: Belief, check: PossibleCheck) -> float:
    """Return the probability that `check` is positive."""
    return fsum(weight * check.share(cause) for cause, weight in belief.items())


def believed_after(belief: Belief, check: PossibleCheck, *, positive: bool) -> dict[str, float]:
    """Return the belief after an answer, by Bayes' rule.

    Raises:
        ValueError: no cause believed in gives this answer.
    """
    shares, usual = check.positive_shares, check.false_positive_share
    shown = {cause: weight * shares.get(cause, usual) for cause, weight in belief.items()}
    if positive:
        return normalised(shown)
    return normalised({cause: weight - shown[cause] for cause, weight in belief.items()})


def cause_decided(belief: Belief, sure: float) -> str | None:
    """Return the cause whose probability is at least `sure`, or None while there is none."""
    cause = max(belief, key=belief.__getitem__)
    return cause if belief[cause] >= sure - ROUNDING else None


def information_bits(belief: Belief, check: PossibleCheck) -> float:
    """Return how much the answer tells about the cause, on average, in bits.

    It is the entropy of the answer less its entropy once the cause is known. Source: Lindley, "On a
    Measure of the Information Provided by an Experiment", Annals of Mathematical Statistics 27
    (1956).
    """
    shares, usual = check.positive_shares, check.false_positive_share
    positive = known = 0.0
    for cause, weight in belief.items():  # a plain loop, since a visit asks it ten thousand times
        share = shares.get(cause, usual)
        positive += weight * share
        known += weight * _entropy(share)
    return max(0.0, _entropy(positive) - known)


def telling(belief: Belief, checks: Iterable[PossibleCheck]) -> list[PossibleCheck]:
    """Return the checks whose answer depends on which of the believed causes it is.

    The others leave the belief as it is, so there is nothing to ask them.
    """
    return [check for check in checks if len({check.share(cause) for cause in belief}) > 1]


def deepest(accesses: Iterable[Access]) -> Access:
    """Return the access that includes all of them; of none, the closed piano."""
    return max(accesses, key=lambda access: access.depth, default=CLOSED)


@dataclass(frozen=True)
class Search:
    """A cause that is looked for: what is believed, what can be asked, and what lies open."""

    belief: dict[str, float]
    checks: tuple[PossibleCheck, ...]
    sure: float
    opened: Access = CLOSED

    @property
    def cause(self) -> str | None:
        """The cause that is sure by now, or None."""
        return cause_decided(self.belief, self.sure)

    @property
    def is_open(self) -> bool:
        """Whether no cause is sure and there is something to ask."""
        return bool(self.checks) and self.cause is None

    def own(self, check: PossibleCheck) -> PossibleCheck | None:
        """Return this search's check of the same code, None when it has none to make."""
        return next((each for each in self.checks if each.code == check.code), None)

    def minutes_of(self, check: PossibleCheck) -> float:
        """Return the minutes of making `check` now, with the access that it still needs."""
        return check.minutes + check.access.minutes_from(self.opened)

    def after(self, check: PossibleCheck, *, positive: bool) -> "Search":
        """Return what is left to look for once `check` is answered.

        Raises:
            ValueError: no cause believed in gives this answer.
        """
        belief = believed_after(self.belief, check, positive=positive)
        left = [each for each in self.checks if each.code != check.code]
        if len(belief) < len(self.belief):  # a check may have lost the causes that it told apart
            left = telling(belief, left)
        opened = deepest((self.opened, check.access))
        return replace(self, belief=belief, checks=tuple(left), opened=opened)


def search_for(
    belief: Mapping[str, float],
    checks: Sequence[PossibleCheck],
    *,
    sure: float,
    opened: Access = CLOSED,
) -> Search:
    """Return the search for the cause with those of the `checks` that tell anything about it.

    `checks` stand in the order in which equals are made. The weights of `belief` need not add to
    one; `sure` is the probability from which a cause counts as found.

    Raises:
        ValueError: the belief has no weight or a negative one, `sure` is not above 0.5 and at most
            1, or a check is named twice.
    """
    if not 0.5 < sure <= 1:  # at a half two causes could be sure at once
        raise ValueError("Sure is a probability above 0.5 and at most 1.")
    if len({check.code for check in checks}) < len(checks):
        raise ValueError("Each check is named once.")
    likely = normalised(belief)
    return Search(likely, tuple(telling(likely, checks)), sure, opened)


@lru_cache(maxsize=4096)  # the shares of a catalogue are few
def _entropy(share: float) -> float:
    if not 0 < share < 1:
        return 0.0
    return -share * log2(share) - (1 - share) * log2(1 - share)
