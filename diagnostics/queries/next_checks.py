"""Which checks to make next in an examination, on which notes."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from diagnostics.models import ChargedPer, Check, CheckResult, Examination, Remedy, SetUp
from diagnostics.queries.diagnoses import ExaminationDiagnosis
from diagnostics.rules.cause_figures import Figures
from diagnostics.rules.check_round import Round, round_of_checks
from diagnostics.rules.diagnosis import NoteDiagnosis
from diagnostics.rules.estimate import Minutes
from diagnostics.rules.formulas import Formula
from diagnostics.rules.planned_checks import (
    CheckText,
    LikelyCause,
    PlannedCheck,
    likely_causes,
    planned_checks,
)
from diagnostics.rules.possible_checks import CLOSED, Access, deepest
from diagnostics.rules.searches import UNKNOWN, Asker, CheckWork, Searches
from diagnostics.rules.work_sheet import SheetNotes
from shop.models import Instrument, ShopProfile
from shop.rules.words import Words, said

UNKNOWN_NAME = "a cause that is not in the catalogue"


@dataclass(frozen=True)
class NextChecks:
    """The checks to make next, in order, and the notes that need none or can have none.

    `opened` is the code of the set-up that the order starts from. A round that is not exact is the
    best by a rule.
    """

    examination: Examination
    sure_percent: Decimal
    opened: str
    checks: tuple[PlannedCheck, ...]
    decided: tuple[SheetNotes, ...]
    nothing_left: tuple[SheetNotes, ...]
    expected_minutes: float
    is_exact: bool
    formulas: tuple[Formula, ...]


@dataclass(frozen=True)
class Asking:
    """What can be asked in an examination: the checks of its action, and those answered so far."""

    checks: tuple[Check, ...]
    answered: frozenset[tuple[str, int | None]]

    @property
    def opened(self) -> Access:
        """The access that the checks answered so far took."""
        codes = {code for code, _ in self.answered}
        return deepest(access_of(each.set_up) for each in self.checks if each.code in codes)


def asking_of(examination: Examination) -> Asking:
    """Return what can be asked of the examined instrument, in the catalogue's order of search."""
    rows = Check.objects.filter(actions__contains=[examination.instrument.action])
    results = CheckResult.objects.filter(examination=examination).order_by()
    return Asking(
        checks=tuple(rows.select_related("set_up").order_by("id")),
        answered=frozenset(results.values_list("check_made__code", "note_midi")),
    )


def set_ups_of(instrument: Instrument) -> list[SetUp]:
    """Return the ways of getting at this kind of action, the shallowest first."""
    rows = SetUp.objects.filter(actions__contains=[instrument.action])
    return list(rows.order_by("depth", "code"))


def access_of(set_up: SetUp) -> Access:
    """Return a set-up as the order of checks takes it, with its expected minutes."""
    return Access(set_up.code, set_up.depth, minutes_of(set_up))


def minutes_of(row: Check | SetUp | Remedy) -> float:
    """Return the expected minutes of a row with a three-point estimate."""
    return float(Minutes(row.minutes_low, row.minutes_likely, row.minutes_high).expected)


def text_of(check: Check, words: Words) -> CheckText:
    """Return what the catalogue says of a check."""
    told = (check.name, check.instruction, check.reads_as)
    return CheckText(check.code, *(said(words, text) for text in told))


def next_checks_of(
    read: ExaminationDiagnosis,
    asking: Asking,
    *,
    opened: Access | None = None,
    notes: Collection[int] = (),
    checks: Iterable[Check] | None = None,
) -> NextChecks:
    """Return the checks to make next, on `notes`, or wherever there is trouble without any.

    `opened` is the access gained already; when it is None, that of the checks answered so far.
    Only `checks` are asked, when they are given.
    """
    sure_percent = ShopProfile.objects.get().cause_sure_percent
    asked = asking.checks if checks is None else tuple(checks)
    asker = Asker(read.figures, read.seen, [check_work(each) for each in asked], asking.answered)
    found = asker.searches(_only(read.diagnosis.notes, notes), float(sure_percent) / 100)
    start = asking.opened if opened is None else opened
    planned = round_of_checks([each for each in found.troubles if each.search.checks], start)
    return _next_checks(read, asked, found, planned, start, sure_percent)


def _next_checks(
    read: ExaminationDiagnosis,
    checks: Sequence[Check],
    found: Searches,
    planned: Round,
    opened: Access,
    sure_percent: Decimal,
) -> NextChecks:
    names = cause_names(read.figures)
    texts = {check.code: text_of(check, read.figures.words) for check in checks}
    return NextChecks(
        examination=read.examination,
        sure_percent=sure_percent,
        opened=opened.code,
        checks=planned_checks(planned.steps, texts, names, read.figures.words),
        decided=tuple(
            SheetNotes(each.notes, (LikelyCause(each.cause, names[each.cause], each.probability),))
            for each in found.decided
        ),
        nothing_left=tuple(
            SheetNotes(each.notes, likely_causes(each.search.belief, names))
            for each in found.troubles
            if not each.search.checks
        ),
        expected_minutes=planned.expected_minutes,
        is_exact=planned.is_exact,
        formulas=planned.formulas,
    )


def cause_names(figures: Figures) -> dict[str, str]:
    """Return the names of the causes by their codes, that of the unknown one too."""
    unknown = said(figures.words, UNKNOWN_NAME)
    return {**{cause.code: cause.name for cause in figures.causes}, UNKNOWN: unknown}


def check_work(check: Check) -> CheckWork:
    """Return how a check is made."""
    return CheckWork(
        code=check.code,
        minutes=minutes_of(check),
        access=access_of(check.set_up) if check.set_up.depth else CLOSED,
        per_note=check.scope == ChargedPer.NOTE,
    )


def _only(diagnosed: Iterable[NoteDiagnosis], notes: Collection[int]) -> list[NoteDiagnosis]:
    """Return what was diagnosed of `notes`, or all of it when there are none."""
    if not notes:
        return list(diagnosed)
    kept = [
        replace(each, notes=tuple(midi for midi in each.notes if midi in notes))
        for each in diagnosed
    ]
    return [each for each in kept if each.notes]
