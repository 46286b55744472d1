"""The checks of an action as a trial makes them."""

import re

from diagnostics.models import Check
from diagnostics.queries.next_checks import check_work
from diagnostics.rules.searches import CheckWork

NUMBERED = re.compile(r"t(\d+)")


def check_works(action: str) -> list[CheckWork]:
    """Return how the checks of an action are made, in the trade's order of search."""
    checks = Check.objects.filter(actions__contains=[action]).select_related("set_up")
    return [check_work(check) for check in sorted(checks, key=_place)]


def _place(check: Check) -> tuple[float, str]:
    """Return where a check stands: those with numbers first, by number."""
    number = NUMBERED.match(check.code)
    return (int(number[1]) if number else float("inf"), check.code)
