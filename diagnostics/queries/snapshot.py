"""The diagnosis a quote rests on, as it stood when the quote was made."""

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from django.utils import timezone

from diagnostics.models import Examination, Finding
from diagnostics.queries.cautions import cautions_for
from diagnostics.queries.instruments import compass_of
from diagnostics.queries.looks import fault_letters
from diagnostics.queries.pin_kits import PinKit
from diagnostics.queries.work import Work, minutes_of, remedy_of
from diagnostics.rules.bench_minutes import CATALOGUE_WEIGHT
from diagnostics.rules.estimate import RemedyUse
from diagnostics.rules.keyboard import Compass
from diagnostics.rules.keyboard_words import Faults
from diagnostics.rules.looks import Found, Look, aligned
from diagnostics.rules.note_names import note_name
from shop.rules.quantities import plain


def diagnosis_of(
    examination: Examination, work: Work, pin_kit: PinKit | None = None
) -> dict[str, Any]:
    """Return the complaint and the findings in plain values, fit to be kept as JSON.

    Also what the catalogue says of the faults and of the cautions with the work, and on what pins
    and minutes rest: `pin_kit` is null without centres of unknown size, and
    `minutes_moved` empty while the catalogue's minutes stand as they are. What is `waiting` is left
    until the room was treated. A finding that is `free_because` of something costs nothing.
    """
    compass = compass_of(examination.instrument)
    found = [*work.decided, *work.undecided, *work.waiting]
    return {
        "complaint": examination.complaint,
        "examined_at": examination.examined_at.isoformat(),
        "findings": [
            _finding(finding, compass) | {"free_because": work.free_because.get(finding.pk, "")}
            for finding in work.decided
        ],
        "undecided": [_finding(finding, compass) for finding in work.undecided],
        "waiting": [_finding(finding, compass) for finding in work.waiting],
        "faults": {finding.fault.name: finding.fault.description for finding in found},
        "cautions": [asdict(each) for each in cautions_for(use.remedy_id for use in work.uses)],
        "pin_kit": pin_kit and _pin_kit(pin_kit),
        "minutes_moved": [
            _moved(work, use)
            for use in {use.remedy_id: use for use in work.uses}.values()
            if use.remedy_id in work.bench
        ],
    }


def findings_in(diagnosis: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    """Return all that such a diagnosis says was found: remedied, undecided, or waiting."""
    kept = ("findings", "undecided", "waiting")
    return [finding for name in kept for finding in diagnosis.get(name, ())]


def cautions_in(diagnosis: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    """Return the cautions of such a diagnosis, as the catalogue had them."""
    return list(diagnosis.get("cautions", ()))


def look_in(diagnosis: Mapping[str, Any], examination: Examination) -> tuple[Look, Faults]:
    """Return what such a diagnosis says was found, fit to be drawn, and the letters of its faults.

    Later changes of the findings do not show. A fault goes by the name that it had; one that the
    catalogue has lost since is drawn with a question mark.
    """
    told = findings_in(diagnosis)
    letters = {name: letter for letter, name in fault_letters().values()}
    names = sorted({finding["fault"] for finding in told})
    look = Look(
        compass=compass_of(examination.instrument),
        examined_on=timezone.localdate(examination.examined_at),
        found=tuple(_found(finding) for finding in told),
        notes_examined=frozenset(examination.notes_examined),
    )
    return aligned(look)[0], {name: (letters.get(name, "?"), name) for name in names}


def _found(finding: Mapping[str, Any]) -> Found:
    return Found(
        finding["note_midi"],
        finding["fault"],
        finding["severity"],
        component_name=finding["component"] or "",
    )


def _pin_kit(kit: PinKit) -> dict[str, Any]:
    return {
        "centres": kit.centres,
        "confidence": plain(kit.confidence),
        "coverage": round(kit.coverage_stocked, 4),
        "fitted_before": sum(row.fitted for row in kit.sizes),
        "not_stocked": [size.label for size in kit.not_stocked],
    }


def _moved(work: Work, use: RemedyUse) -> dict[str, Any]:
    """Return a remedy's minutes of one time, and the shop's own that moved them."""
    bench, catalogue = work.bench[use.remedy_id], minutes_of(work.remedies[use.remedy_id])
    return {
        "remedy": use.name,
        "minutes_likely": str(use.minutes.likely),
        "catalogue_minutes_likely": str(catalogue.likely),
        "catalogue_weight": CATALOGUE_WEIGHT,
        "own_times": bench.times,
        "own_minutes_mean": str(round(bench.mean, 1)),
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
        "remedy_code": remedy.code if remedy else None,
        "severity": finding.severity,
        "measurements": {
            measurement.quantity: str(measurement.value)
            for measurement in finding.measurements.all()
        },
    }
