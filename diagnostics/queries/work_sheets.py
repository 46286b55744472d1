"""The work-sheet of a visit, from the diagnosis, the checks that are left and the catalogue."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from diagnostics.models import ChargedPer, Finding, Remedy
from diagnostics.queries.catalogue import remedies_in_full
from diagnostics.queries.cautions import cautions_for
from diagnostics.queries.diagnoses import ExaminationDiagnosis
from diagnostics.queries.instruments import compass_of
from diagnostics.queries.next_checks import (
    Asking,
    minutes_of,
    next_checks_of,
    set_ups_of,
    text_of,
)
from diagnostics.rules.planned_checks import LikelyCause
from diagnostics.rules.possible_checks import Access
from diagnostics.rules.work_sheet import (
    FirstCheck,
    SheetPart,
    SheetRemedy,
    SheetTool,
    WorkSheet,
    parts_together,
    sheet_levels,
)
from shop.rules.words import Words, said

# From which probability a cause's remedy is prepared for. Estimate.
WORTH_PREPARING = 0.15


@dataclass
class _Wanted:
    """What a remedy is wanted for: causes by their codes, and notes, None for the whole."""

    causes: dict[str, LikelyCause] = field(default_factory=dict)
    notes: set[int | None] = field(default_factory=set)

    def add_likely(self, cause: LikelyCause, notes: Iterable[int | None]) -> None:
        """Add notes on which a cause is likely; its probability is the greatest of any note."""
        before = self.causes.get(cause.code, cause)
        self.causes[cause.code] = max(before, cause, key=_probability)
        self.notes |= set(notes)


@dataclass(frozen=True)
class _Prepared:
    """A remedy to be prepared for, and how often it is done."""

    remedy: Remedy
    wanted: _Wanted
    times: int


def work_sheet_of(
    read: ExaminationDiagnosis, asking: Asking, *, opened: Access | None = None
) -> WorkSheet:
    """Return the work-sheet of a visit to the examined instrument, which has its site and client.

    It is in the words of the diagnosis. What starts a visit stands first, and the other checks in
    their order. `opened` is the access gained already.
    """
    instrument, words = read.examination.instrument, read.figures.words
    later = [each for each in asking.checks if not each.starts_a_visit]
    planned = next_checks_of(read, asking, opened=opened, checks=later)
    names = {each.code: said(words, each.name) for each in set_ups_of(instrument)}
    prepared = _prepared(read)
    remedies = [each.remedy for each in prepared]
    behind = {each.set_up for each in planned.checks} | {each.set_up.code for each in remedies}
    return WorkSheet(
        instrument=str(instrument),
        client=instrument.site.client.name,
        place=instrument.site.name,
        complaint=read.examination.complaint,
        verdict=read.diagnosis.verdict,
        sure_percent=planned.sure_percent,
        first=tuple(_first(asking, words)),
        levels=sheet_levels(planned.checks, planned.opened, names),
        decided=planned.decided,
        nothing_left=planned.nothing_left,
        remedies=tuple(_remedy(each, words) for each in prepared),
        parts=parts_together([part for each in prepared for part in _parts(each, words)]),
        tools=_tools(remedies, words),
        cautions=cautions_for([each.pk for each in remedies], behind, words),
        expected_minutes=planned.expected_minutes,
        is_exact=planned.is_exact,
        formulas=planned.formulas,
    )


def _first(asking: Asking, words: Words) -> Iterator[FirstCheck]:
    """Yield what is asked and looked at before anything is opened, unless it was already."""
    for check in asking.checks:
        if check.starts_a_visit and (check.code, None) not in asking.answered:
            yield FirstCheck(text_of(check, words), minutes_of(check))


def _prepared(read: ExaminationDiagnosis) -> list[_Prepared]:
    """Return the remedies to be prepared for; one on the whole instrument is done on every note."""
    wanted = _wanted(read)
    compass = len(compass_of(read.examination.instrument).notes)
    prepared = []
    for remedy in remedies_in_full().filter(code__in=wanted):
        notes = wanted[remedy.code].notes
        times = compass if None in notes else len(notes)
        is_per_note = remedy.charged_per == ChargedPer.NOTE
        prepared.append(_Prepared(remedy, wanted[remedy.code], times if is_per_note else 1))
    return prepared


def _wanted(read: ExaminationDiagnosis) -> dict[str, _Wanted]:
    """Return what each remedy is wanted for, by its code: likely causes, and what is decided."""
    wanted: dict[str, _Wanted] = defaultdict(_Wanted)
    for diagnosed in read.diagnosis.notes:
        for code, probability in diagnosed.probabilities.items():
            if probability >= WORTH_PREPARING:
                cause = read.figures.by_code[code]
                likely = LikelyCause(code, cause.name, probability)
                wanted[cause.remedy].add_likely(likely, diagnosed.notes)
    decided = Finding.objects.filter(examination=read.examination, remedy__isnull=False)
    for remedy, midi in decided.order_by().values_list("remedy__code", "note_midi"):
        wanted[str(remedy)].notes.add(midi)
    return wanted


def _probability(cause: LikelyCause) -> float:
    return cause.probability


def _remedy(prepared: _Prepared, words: Words) -> SheetRemedy:
    remedy, wanted = prepared.remedy, prepared.wanted
    return SheetRemedy(
        code=remedy.code,
        name=said(words, remedy.name),
        causes=tuple(sorted(wanted.causes.values(), key=_probability, reverse=True)),
        notes=tuple(sorted(midi for midi in wanted.notes if midi is not None)),
        times=prepared.times,
        minutes=minutes_of(remedy) * prepared.times,
        set_up=remedy.set_up.code,
        set_up_name=said(words, remedy.set_up.name),
        pins=remedy.pins_per_note * prepared.times,
    )


def _parts(prepared: _Prepared, words: Words) -> Iterator[SheetPart]:
    for need in prepared.remedy.remedy_parts.all():
        part = need.part
        quantity = need.quantity * prepared.times
        yield SheetPart(part.code, said(words, part.name), quantity, part.unit)


def _tools(remedies: Iterable[Remedy], words: Words) -> tuple[SheetTool, ...]:
    tools = {tool.code: tool.name for remedy in remedies for tool in remedy.tools.all()}
    return tuple(SheetTool(code, said(words, name)) for code, name in sorted(tools.items()))
