"""When to remind of an invoice again, and what lateness costs."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from string import Template

from shop.rules.money import rounded

YEAR_DAYS = 365
PLACEHOLDERS = (
    *("client", "shop", "number", "reference", "issued_on", "due_on", "days_overdue"),
    *("open", "charges", "total", "iban"),
)


@dataclass(frozen=True)
class Step:
    """A level of reminders, from so many days after an invoice was due."""

    level: int
    days_after_due: int


@dataclass(frozen=True)
class Reminded:
    """The level that an invoice was last reminded at, and on which day."""

    level: int
    on: date


def next_step(
    steps: Sequence[Step], due_on: date, last: Reminded | None, today: date
) -> Step | None:
    """Return the step whose turn it is, none while it is too early or when none is left.

    `steps` ascend. None is left out, and after a reminder at least as many days pass as lie
    between its level and the next, so that a late start does not bring all of them at once.
    """
    left = [step for step in steps if last is None or step.level > last.level]
    if not left or (today - due_on).days < left[0].days_after_due:
        return None
    if last is None:
        return left[0]
    before = max((step.days_after_due for step in steps if step.level <= last.level), default=0)
    has_passed = (today - last.on).days >= left[0].days_after_due - before
    return left[0] if has_passed else None


@dataclass(frozen=True)
class Settled:
    """What settled a part of an invoice, and from which day; less than nothing was taken back."""

    on: date
    amount: Decimal


def late_interest(
    owed: Decimal,
    settled: Iterable[Settled],
    *,
    due_on: date,
    until: date,
    percent: Decimal,
    decimals: int,
) -> Decimal:
    """Return the simple interest on what was owed after its due day, `percent` a year.

    Each day after `due_on` up to `until` bears a 365th of the year's interest on what was open at
    the end of the day before; what was settled beyond what was owed bears none. It is rounded once.

    Source: actual/365 (fixed), common practice; GOV.UK states the same for commercial debts.
    """
    amount_days = Decimal(0)
    start, open_amount = due_on, owed
    for each in sorted(settled, key=lambda one: one.on):
        if each.on >= until:
            break
        if each.on > start:
            amount_days += max(open_amount, Decimal(0)) * (each.on - start).days
            start = each.on
        open_amount -= each.amount
    amount_days += max(open_amount, Decimal(0)) * max((until - start).days, 0)
    interest = Fraction(amount_days) * Fraction(percent) / (100 * YEAR_DAYS)
    return rounded(Decimal(interest.numerator) / interest.denominator, decimals)


def unknown_placeholders(text: str) -> list[str]:
    """Return what a text names that a reminder does not say; a stray `$` is one too."""
    template = Template(text)
    if not template.is_valid():
        return ["$"]
    return sorted(set(template.get_identifiers()) - set(PLACEHOLDERS))


def filled(text: str, values: dict[str, str]) -> str:
    """Return a text with its placeholders, such as `$number`, filled in."""
    return Template(text).substitute(values)
