"""The diagnosis a quote rests on, as it stood when the quote was made."""

from typing import Any

from diagnostics.models import Examination, Finding
from diagnostics.queries.work import Work, remedy_of


def diagnosis_of(examination: Examination, work: Work) -> dict[str, Any]:
    """Return the complaint and the findings in plain values, fit to be kept as JSON."""
    return {
        "complaint": examination.complaint,
        "examined_at": examination.examined_at.isoformat(),
        "findings": [_finding(finding) for finding in work.decided],
        "undecided": [_finding(finding) for finding in work.undecided],
    }


def _finding(finding: Finding) -> dict[str, Any]:
    remedy = remedy_of(finding)
    return {
        "id": finding.pk,
        "note_midi": finding.note_midi,
        "fault": finding.fault.name,
        "component": finding.component.name if finding.component else None,
        "cause": finding.cause.name if finding.cause else None,
        "remedy": remedy.name if remedy else None,
        "severity": finding.severity,
        "measurements": {
            measurement.quantity: str(measurement.value)
            for measurement in finding.measurements.all()
        },
    }
