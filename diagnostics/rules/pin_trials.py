"""Finding the pin that fits, from trial to trial."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from diagnostics.rules.formulas import Formula
from diagnostics.rules.pins import FIRST_TRIED, PinSize

FORMULAS = (
    Formula(
        "too snug, go down; too loose, go up; firm is right; start at size 20", "common practice"
    ),
)


class Fit(StrEnum):
    """How a pin sits in the wood: firm under the fingers, never so tight that it splits."""

    TOO_SNUG = "too_snug"
    FIRM = "firm"
    TOO_LOOSE = "too_loose"


class Advice(StrEnum):
    """What to do after the trials so far."""

    TRY = "try"
    FITS = "fits"
    REAM = "ream"
    NO_SIZE_LEFT = "no_size_left"
    MEASURE_AGAIN = "measure_again"


SAID = {
    Advice.TRY: "Try size {size}.",
    Advice.FITS: "Size {size} is firm in the wood: it is the right one.",
    Advice.REAM: "No size lies between: ream lightly from both sides until size {size} is firm.",
    Advice.NO_SIZE_LEFT: "No size is left in that direction; the flange needs another remedy.",
    Advice.MEASURE_AGAIN: "A thinner pin was too snug where a thicker one was too loose: measure"
    " them, since pins of one size differ by up to a half size.",
}


@dataclass(frozen=True)
class Trial:
    """A size tried, and how it sat."""

    size: PinSize
    fit: Fit


@dataclass(frozen=True)
class NextTrial:
    """What to do next, with the size that it is about if there is one."""

    advice: Advice
    size: PinSize | None = None

    @property
    def sentence(self) -> str:
        """The advice in words."""
        return SAID[self.advice].format(size=self.size.spoken if self.size else "")


def next_trial(trials: Sequence[Trial], sizes: Sequence[PinSize]) -> NextTrial:
    """Return what to do after `trials`: too snug, go down; too loose, go up; firm is right.

    `sizes` are those at hand, thinnest first. The first trial is size 20, or the size nearest to
    it. Source: common practice.
    """
    if not trials:
        start = min(sizes, key=lambda size: abs(size.half_sizes - FIRST_TRIED), default=None)
        return NextTrial(Advice.TRY if start else Advice.NO_SIZE_LEFT, start)
    snug = _tried(trials, Fit.TOO_SNUG)
    firm = _tried(trials, Fit.FIRM)
    loose = _tried(trials, Fit.TOO_LOOSE)
    thinner, thicker = loose + firm, firm + snug
    if _crossed(loose, thicker) or _crossed(thinner, snug):
        return NextTrial(Advice.MEASURE_AGAIN)
    if firm:
        return NextTrial(Advice.FITS, firm[-1])
    return _between(loose, snug, trials[-1].fit, sizes)


def _tried(trials: Sequence[Trial], fit: Fit) -> list[PinSize]:
    return [trial.size for trial in trials if trial.fit == fit]


def _crossed(thinner: list[PinSize], thicker: list[PinSize]) -> bool:
    """Return whether some of what should be thinner is as thick as what should be thicker."""
    return any(one.diameter_um >= two.diameter_um for one in thinner for two in thicker)


def _between(
    loose: list[PinSize], snug: list[PinSize], last: Fit, sizes: Sequence[PinSize]
) -> NextTrial:
    above = max((size.diameter_um for size in loose), default=0)
    below = min((size.diameter_um for size in snug), default=None)
    left = [
        size
        for size in sizes
        if above < size.diameter_um and (below is None or size.diameter_um < below)
    ]
    if left:
        return NextTrial(Advice.TRY, left[-1] if last == Fit.TOO_SNUG else left[0])
    if loose and snug:
        return NextTrial(Advice.REAM, min(snug, key=lambda size: size.diameter_um))
    return NextTrial(Advice.NO_SIZE_LEFT)
