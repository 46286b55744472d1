"""What is behind the bad notes of an examination, with everything that the answer rests on."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from django.db.models import QuerySet

from diagnostics.models import CheckResult, Examination, Finding, Outcome
from diagnostics.queries.cause_figures import figures_of
from diagnostics.queries.instruments import compass_of
from diagnostics.queries.learnt import last_reset_at, learnt
from diagnostics.queries.measured import measured_by_note
from diagnostics.queries.room import room_verdict_at
from diagnostics.queries.spread import spread_of_findings
from diagnostics.rules.cause_figures import Figures
from diagnostics.rules.diagnosis import Diagnosis, diagnosis
from diagnostics.rules.room import RoomVerdict
from diagnostics.rules.signs import InstrumentSeen, NoteSeen, spread_at
from diagnostics.rules.spread import Spread, SpreadKind
from shop.models import CatalogueRow
from shop.rules.words import ENGLISH, Words


@dataclass(frozen=True)
class ExaminationDiagnosis:
    """A diagnosis with what it rests on.

    `spreads` are by family of faults. `cases` of the shop's own, done since `learnt_since` (or
    ever), moved the catalogue's figures.
    """

    examination: Examination
    diagnosis: Diagnosis
    seen: InstrumentSeen
    figures: Figures
    spreads: Mapping[str, Spread]
    room: RoomVerdict
    findings_count: int
    check_results_count: int
    cases: int
    learnt_since: datetime | None


def examination_diagnosis(examination: Examination, words: Words = ENGLISH) -> ExaminationDiagnosis:
    """Return the diagnosis of an examination, which has its instrument, in thirteen statements.

    Its verdict, and what a work-sheet has of it, are in `words`.
    """
    findings = list(_findings(examination))
    results = _results_by_note(examination.check_results.select_related("check_made"))
    counted = learnt()
    action = examination.instrument.action
    figures = replace(
        figures_of(action, counted, words),
        fault_names={finding.fault.code: finding.fault.name for finding in findings},
        component_names={
            finding.component.code: finding.component.name
            for finding in findings
            if finding.component
        },
    )
    spreads = _spreads(examination, findings)
    room = room_verdict_at(examination.instrument, examination.examined_at)
    seen = InstrumentSeen(
        notes=tuple(_notes(examination, findings, results, spreads)),
        compass=compass_of(examination.instrument),
        results=results.get(None, {}),
        room=room.state,
        age_years=_age_years(examination),
        complaint=examination.complaint,
    )
    return ExaminationDiagnosis(
        examination=examination,
        diagnosis=diagnosis(figures, seen),
        seen=seen,
        figures=figures,
        spreads=spreads,
        room=room,
        findings_count=len(findings),
        check_results_count=sum(map(len, results.values())),
        cases=sum(counted.cases_of(action).values()),
        learnt_since=last_reset_at(),
    )


def _findings(examination: Examination) -> QuerySet[Finding]:
    """Return the findings by note, without what a diagnosis does not read."""
    rows = examination.findings.select_related("fault", "component", "cause")
    shown = ("examination", "note_midi", "fault__code", "fault__name", "fault__family")
    read = rows.only(*shown, "component__code", "component__name", "cause__code")
    return read.order_by("note_midi", "id")


def _age_years(examination: Examination) -> int | None:
    built = examination.instrument.built_year
    return None if built is None else max(0, examination.examined_at.year - built)


def _spreads(examination: Examination, findings: Iterable[Finding]) -> dict[str, Spread]:
    """Return where the faults of each family stand."""
    found = [(finding.fault.family, finding.note_midi) for finding in findings]
    families = spread_of_findings(examination, found).families
    return {each.family: each.spread for each in families}


def _results_by_note(results: Iterable[CheckResult]) -> dict[int | None, dict[str, bool]]:
    by_note: dict[int | None, dict[str, bool]] = defaultdict(dict)
    for result in results:
        if result.outcome != Outcome.UNCLEAR:
            is_positive = result.outcome == Outcome.POSITIVE
            by_note[result.note_midi][result.check_made.code] = is_positive
    return by_note


def _notes(
    examination: Examination,
    findings: Sequence[Finding],
    results: Mapping[int | None, Mapping[str, bool]],
    spreads: Mapping[str, Spread],
) -> list[NoteSeen]:
    """Return the notes with a finding, and those on which a check alone was positive."""
    measured = measured_by_note(examination)
    by_note: dict[int | None, list[Finding]] = defaultdict(list)
    for finding in findings:
        by_note[finding.note_midi].append(finding)
    for midi, shown in results.items():
        if midi is not None and any(shown.values()):
            by_note.setdefault(midi, [])
    return [
        NoteSeen(
            midi=midi,
            faults=_codes(finding.fault for finding in found),
            components=_codes(finding.component for finding in found),
            causes=_codes(finding.cause for finding in found),
            results={} if midi is None else results.get(midi, {}),
            measured=measured.get(midi, ()),
            spread=_spread_of(midi, found, spreads),
        )
        for midi, found in by_note.items()
    ]


def _codes(rows: Iterable[CatalogueRow | None]) -> tuple[str, ...]:
    return tuple(sorted({row.code for row in rows if row}))


def _spread_of(
    midi: int | None, findings: Sequence[Finding], spreads: Mapping[str, Spread]
) -> SpreadKind:
    """Return what the most widespread of a note's families of faults does around it."""
    if midi is None or not findings:
        return SpreadKind.TOO_FEW
    families = sorted({finding.fault.family for finding in findings} & spreads.keys())
    widest = max((spreads[each] for each in families), key=_affected_count, default=None)
    return spread_at(widest, midi) if widest else SpreadKind.TOO_FEW


def _affected_count(found: Spread) -> int:
    return found.affected_count
