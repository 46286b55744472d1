"""What measured values say about causes, by the ranges that they should lie in."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from diagnostics.rules.cause_figures import CauseFigures, CheckFigures, Figures
from diagnostics.rules.causes import Sign, sign
from diagnostics.rules.ranges import Standing

# How often a value is out of range when the part measured is the cause, and when it is not.
# Estimates.
OUT_OF_RANGE, OUT_BY_CHANCE = 0.90, 0.05

KEY_FRICTION = "key_friction_g"
KEY_DIP = "key_dip_mm"
# The components that a key by itself rubs on, and those that set how far it goes down.
KEY_ALONE = frozenset(
    {
        *("key", "key-lead", "front-rail-bushing", "front-rail-pin"),
        *("balance-rail-bushing", "balance-rail-pin", "balance-hole"),
    }
)
PUNCHINGS = frozenset({"balance-rail-punching", "front-rail-punching"})


# On which side of its range a value speaks of a cause.
SPEAKS: Mapping[str, Standing] = {
    "swings": Standing.LOW,
    "friction_g": Standing.HIGH,
    KEY_FRICTION: Standing.HIGH,
    KEY_DIP: Standing.LOW,
    "touch_friction_g": Standing.HIGH,
    "down_weight_g": Standing.HIGH,
    "up_weight_g": Standing.LOW,
}
# Friction of the whole note is found from these two, and says more than either.
WEIGHTS = frozenset({"down_weight_g", "up_weight_g"})
TOUCH_FRICTION = "touch_friction_g"


@dataclass(frozen=True)
class Measured:
    """A measured quantity, where it stands by its range, and both in words.

    `component` is what was measured, if it is known.
    """

    quantity: str
    standing: Standing
    said: str
    component: str = ""


@dataclass(frozen=True)
class MeasuredSigns:
    """The signs, and the checks that say nothing beside them, since they were made to measure."""

    signs: tuple[Sign, ...]
    checks: frozenset[str]


def measured_signs(figures: Figures, measured: Iterable[Measured]) -> MeasuredSigns:
    """Return what measured values say; one that no known cause explains says nothing."""
    values = {(value.quantity, value.component): value for value in measured}
    if any(quantity == TOUCH_FRICTION for quantity, _ in values):
        values = {key: value for key, value in values.items() if key[0] not in WEIGHTS}
    read = [(value, sign) for value in values.values() for sign in _signs(figures, value)]
    quantities = {value.quantity for value, _ in read}
    return MeasuredSigns(
        signs=tuple(sign for _, sign in read),
        checks=frozenset(
            check.code for check in figures.checks.values() if quantities & _measured_by(check)
        ),
    )


def _measured_by(check: CheckFigures) -> set[str]:
    derived = {TOUCH_FRICTION} if set(check.measures) >= WEIGHTS else set()
    return derived | set(check.measures)


def _signs(figures: Figures, value: Measured) -> Iterator[Sign]:
    side = SPEAKS.get(value.quantity)
    if side is None:
        return
    is_seen = value.standing == side
    made = [check for check in figures.checks.values() if value.quantity in _measured_by(check)]
    if value.quantity in WEIGHTS | {TOUCH_FRICTION}:
        for check in made:
            shares = figures.shares_of_check(check.code)
            yield sign(value.said, check.false_positive_share, shares, is_seen=is_seen)
    elif causes := [cause.code for cause in figures.causes if _speaks_of(value, cause, made)]:
        shares = dict.fromkeys(causes, OUT_OF_RANGE)
        yield sign(value.said, OUT_BY_CHANCE, shares, is_seen=is_seen)


def _speaks_of(value: Measured, cause: CauseFigures, made: Iterable[CheckFigures]) -> bool:
    if value.quantity == KEY_DIP:
        return cause.component in PUNCHINGS
    if not any(check.code in cause.checks for check in made):
        return False
    if value.quantity == KEY_FRICTION:
        return cause.component in KEY_ALONE
    return bool(value.component) and cause.component == value.component
