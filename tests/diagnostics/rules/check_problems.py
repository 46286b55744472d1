"""Small problems of finding a cause, and the minutes of any way to go about them by brute force.

Minutes and probabilities are whole numbers and fractions here, so that what is expected is exact.
"""

from fractions import Fraction
from itertools import permutations, product

from hypothesis import strategies as st

from diagnostics.rules.possible_checks import CLOSED, Access, PossibleCheck

NOT_FOUND = "none-of-these"
ACCESSES = [CLOSED, Access("slip", 1, 4), Access("keys", 2, 5), Access("action", 3, 9)]


def perfect(code, minutes, access=CLOSED):
    """Return the check that is positive for the cause of its own name, and for no other."""
    return PossibleCheck(code, minutes, access, {code: 1.0})


def access_minutes(access, opened):
    return max(0, access.minutes - opened.minutes) if access.depth > opened.depth else 0


def search_minutes(order, belief):
    """Return the expected minutes of perfect checks in this order, until one is positive."""
    expected, unfound, opened = Fraction(0), Fraction(sum(belief.values())), CLOSED
    for check in order:
        expected += unfound * Fraction(check.minutes + access_minutes(check.access, opened))
        unfound -= belief[check.code]
        opened = max(opened, check.access, key=lambda access: access.depth)
    return expected / sum(belief.values())


def least_of_all_orders(checks, belief):
    return min(search_minutes(order, belief) for order in permutations(checks))


def ways(checks):
    """Yield every way to go about it: a check, and a way for each of its answers; () at the end."""
    if not checks:
        yield ()
    for check in checks:
        rest = [each for each in checks if each is not check]
        for after_no, after_yes in product(list(ways(rest)), repeat=2):
            yield check, after_no, after_yes


def fixed(order):
    """Return the way that makes the checks in this order, whatever they show."""
    way = ()
    for check in reversed(order):
        way = (check, way, way)
    return way


def way_minutes(way, weights, sure, opened=CLOSED):
    """Return the expected minutes of a way, times the sum of the weights (by cause)."""
    total = sum(weights.values())
    if not way or max(weights.values()) >= sure * total:
        return Fraction(0)
    check, after_no, after_yes = way
    shares = {cause: Fraction(check.share(cause)) for cause in weights}
    yes = {cause: weight * shares[cause] for cause, weight in weights.items()}
    no = {cause: weight - yes[cause] for cause, weight in weights.items()}
    deeper = max(opened, check.access, key=lambda access: access.depth)
    minutes = total * Fraction(check.minutes + access_minutes(check.access, opened))
    minutes += way_minutes(after_yes, yes, sure, deeper)
    return minutes + way_minutes(after_no, no, sure, deeper)


@st.composite
def imperfect_problems(draw, most_checks=4):
    """Draw a belief of up to five causes, and checks that err; shares are sixteenths."""
    causes = [f"cause-{number}" for number in range(draw(st.integers(2, 5)))]
    belief = {cause: draw(st.integers(1, 9)) for cause in causes}
    shares = st.integers(1, 15).map(lambda sixteenths: sixteenths / 16)
    checks = [
        PossibleCheck(
            f"check-{number}",
            draw(st.integers(1, 9)),
            draw(st.sampled_from(ACCESSES)),
            draw(st.dictionaries(st.sampled_from(causes), shares)),
            draw(shares),
        )
        for number in range(draw(st.integers(0, most_checks)))
    ]
    return belief, checks
