"""The work-sheet of a visit: what to ask, what to look at in which order, what to take along."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import groupby

from diagnostics.rules.formulas import Formula
from diagnostics.rules.planned_checks import CheckText, LikelyCause, PlannedCheck


@dataclass(frozen=True)
class FirstCheck:
    """What a visit starts with before anything is opened, and its expected minutes."""

    text: CheckText
    minutes: float


@dataclass(frozen=True)
class SheetLevel:
    """Checks made while the piano stands open so far; `minutes` are those of opening it further."""

    set_up: str
    name: str
    minutes: float
    checks: tuple[PlannedCheck, ...]


@dataclass(frozen=True)
class SheetNotes:
    """Notes, none for the whole instrument, and what is most probably behind them."""

    notes: tuple[int, ...]
    causes: tuple[LikelyCause, ...]


@dataclass(frozen=True)
class SheetRemedy:
    """A remedy that is likely to be wanted: for which causes, on which notes, how often.

    `causes` is empty where the technician has decided on it. `minutes` are expected ones for all
    times, without the set-up; `pins` is how many centre pins of a size known at the bench only.
    """

    code: str
    name: str
    causes: tuple[LikelyCause, ...]
    notes: tuple[int, ...]
    times: int
    minutes: float
    set_up: str
    set_up_name: str
    pins: int


@dataclass(frozen=True)
class SheetPart:
    """How much of a part the likely remedies take together."""

    code: str
    name: str
    quantity: Decimal
    unit: str


@dataclass(frozen=True)
class SheetTool:
    """A tool that a likely remedy is done with."""

    code: str
    name: str


@dataclass(frozen=True)
class SheetCaution:
    """What can hurt someone or touches the law, in the catalogue's words."""

    code: str
    title: str
    text: str


@dataclass(frozen=True)
class WorkSheet:
    """All that a visit needs, in the order in which it is needed."""

    instrument: str
    client: str
    place: str
    complaint: str
    verdict: str
    sure_percent: Decimal
    first: tuple[FirstCheck, ...]
    levels: tuple[SheetLevel, ...]
    decided: tuple[SheetNotes, ...]
    nothing_left: tuple[SheetNotes, ...]
    remedies: tuple[SheetRemedy, ...]
    parts: tuple[SheetPart, ...]
    tools: tuple[SheetTool, ...]
    cautions: tuple[SheetCaution, ...]
    expected_minutes: float
    is_exact: bool
    formulas: tuple[Formula, ...]


def sheet_levels(
    checks: Iterable[PlannedCheck], opened: str, names: dict[str, str]
) -> tuple[SheetLevel, ...]:
    """Return the checks by how far the piano is open for them, in their order.

    `opened` is the code of the set-up gained at the start, `names` those of the set-ups by code. A
    check that needs less than what lies open stays where the order has it.
    """
    placed = []
    for check in checks:
        opened = check.set_up if check.set_up_minutes > 0 else opened
        placed.append((opened, check))
    levels = []
    for code, group in groupby(placed, key=lambda each: each[0]):
        within = tuple(check for _, check in group)
        levels.append(SheetLevel(code, names[code], within[0].set_up_minutes, within))
    return tuple(levels)


def parts_together(parts: Sequence[SheetPart]) -> tuple[SheetPart, ...]:
    """Return each part once, with its quantities added up, in the order of their names."""
    together: dict[str, SheetPart] = {}
    for part in parts:
        before = together.get(part.code)
        quantity = part.quantity + (before.quantity if before else 0)
        together[part.code] = SheetPart(part.code, part.name, quantity, part.unit)
    return tuple(sorted(together.values(), key=lambda part: (part.name, part.code)))
