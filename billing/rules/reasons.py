"""Why work is proposed: the findings that a quote rests on, sorted by what puts them right."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

# A note by MIDI number, or None for the whole instrument.
Place = int | None


@dataclass(frozen=True)
class Reason:
    """A fault with its cause, "" while that is open, and where it was found."""

    fault: str
    cause: str
    places: tuple[Place, ...]


@dataclass(frozen=True)
class Proposal:
    """A remedy, "" while none is decided, and what it is for."""

    remedy: str
    reasons: tuple[Reason, ...]


def proposals(findings: Iterable[Mapping[str, Any]]) -> list[Proposal]:
    """Return the remedies of a quote's findings in the order in which they were found."""
    groups: dict[str, dict[tuple[str, str], list[Place]]] = {}
    for finding in findings:
        reasons = groups.setdefault(finding["remedy"] or "", {})
        told = (finding["fault"], finding["cause"] or "")
        reasons.setdefault(told, []).append(finding["note_midi"])
    return [
        Proposal(
            remedy,
            tuple(Reason(fault, cause, tuple(found)) for (fault, cause), found in reasons.items()),
        )
        for remedy, reasons in groups.items()
    ]


def faults_found(findings: Iterable[Mapping[str, Any]]) -> dict[str, list[Place]]:
    """Return where each fault was found."""
    places: dict[str, list[Place]] = {}
    for finding in findings:
        places.setdefault(finding["fault"], []).append(finding["note_midi"])
    return places
