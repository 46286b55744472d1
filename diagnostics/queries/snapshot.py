"""The diagnosis a quote rests on, as it stood when the quote was made."""

from typing import Any

from diagnostics.models import Examination, Finding
from diagnostics.queries.instruments import compass_of
from diagnostics.queries.work import Work, remedy_of
from diagnostics.rules.keyboard import Compass
from diagnostics.rules.note_names import note_name


def diagnosis_of(examination: Examination, work: Work) -> dict[str, Any]:
    """Return the complaint and the findings in plain values, fit to be kept as JSON."""
    compass = compass_of(examination.instrument)
    return {
        "complaint": examination.complaint,
        "examined_at": examination.examined_at.isoformat(),
        "findings": [_finding(finding, compass) for finding in work.decided],
        "undecided": [_finding(finding, compass) for finding in work.undecided],
    }


def _finding(finding: Finding, compass: Compass) -> dict[str, Any]:
    remedy, midi = remedy_of(finding), finding.note_midi
    return {
        "id": finding.pk,
        "note_midi": midi,
        "note": None if midi is None else note_name(midi, compass),
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
