"""Extra work on an approved quote: what it adds, and whether the client is asked first."""

from dataclasses import replace
from decimal import Decimal

from billing.rules.allowances import percentage
from diagnostics.rules.estimate import Minutes, SetUp

NOTHING = Decimal(0)


def further_set_up(set_up: SetUp, reached_depth: int, charged: Minutes) -> SetUp:
    """Return the set-up with the minutes that getting further in takes.

    They are none where the work agreed already gets as deep, for a set-up is charged once, and
    else those beyond what is `charged`.
    """
    further = Minutes()
    if set_up.depth > reached_depth:
        points = zip(_points(set_up.minutes), _points(charged), strict=True)
        further = Minutes(*sorted(max(full - done, NOTHING) for full, done in points))
    return replace(set_up, minutes=further)


def _points(minutes: Minutes) -> tuple[Decimal, Decimal, Decimal]:
    return minutes.low, minutes.likely, minutes.high


def tolerance_left(
    agreed_net: Decimal,
    tolerated_net: Decimal,
    *,
    percent: Decimal,
    most: Decimal | None,
    decimals: int,
) -> Decimal:
    """Return how much more, before tax, may be done without asking: never less than nothing.

    It is `percent` of what was agreed and at most `most`, where that is given, less what was done
    without asking so far. How far a quote may be passed at all is for local consumer law, which
    goes before the shop's setting.
    """
    allowed = percentage(agreed_net, percent, decimals)
    if most is not None:
        allowed = min(allowed, most)
    return max(allowed - tolerated_net, NOTHING)
