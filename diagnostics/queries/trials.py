"""The checks of an action as a trial makes them."""

import re

from diagnostics.models import Check, SetUp
from diagnostics.rules.estimate import Minutes
from diagnostics.rules.possible_checks import Access
from diagnostics.rules.trial_scores import CheckWork

NUMBERED = re.compile(r"t(\d+)")


def check_works(action: str) -> list[CheckWork]:
    """Return how the checks of an action are made, in the trade's order of search."""
    checks = Check.objects.filter(actions__contains=[action]).select_related("set_up")
    return [
        CheckWork(
            code=check.code,
            minutes=_expected(check),
            access=Access(check.set_up.code, check.set_up.depth, _expected(check.set_up)),
        )
        for check in sorted(checks, key=_place)
    ]


def _expected(row: Check | SetUp) -> float:
    return float(Minutes(row.minutes_low, row.minutes_likely, row.minutes_high).expected)


def _place(check: Check) -> tuple[float, str]:
    """Return where a check stands: those with numbers first, by number."""
    number = NUMBERED.match(check.code)
    return (int(number[1]) if number else float("inf"), check.code)
