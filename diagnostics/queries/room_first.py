"""What treating the room first means for an examination: what waits, and what it may cure."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from diagnostics.models import Examination, Finding, Remedy, Severity
from diagnostics.queries.cause_figures import figures_of
from diagnostics.queries.comparisons import cures_by_treating_the_room
from diagnostics.queries.instruments import compass_of
from diagnostics.queries.learnt import learnt
from diagnostics.queries.room import room_verdict_at
from diagnostics.queries.work import (
    FreeBecause,
    Work,
    charged,
    findings_of,
    remedy_of,
    work_on,
)
from diagnostics.rules.comparison import NO_CURES
from diagnostics.rules.cure_rate import CureRate
from diagnostics.rules.diagnosis import OUT_OF_RANGE, curable_by_room
from diagnostics.rules.room import RoomVerdict
from diagnostics.rules.room_first import (
    SENTENCES,
    Hindrance,
    freed_at_once,
    hindrance_of,
)
from diagnostics.rules.spread import spread
from shop.errors import Refused
from shop.models import Part


@dataclass(frozen=True)
class RoomFirst:
    """Whether the room is treated first, and what then waits.

    `now` are the findings that do not wait, undecided ones among them. `treated_by` are the
    remedies that treat the room, `beside` those of them that no finding asks for. `cure_rate` is
    None when nothing waits.
    """

    room: RoomVerdict
    hindrance: Hindrance | None
    now: Sequence[Finding]
    waiting: Sequence[Finding]
    treated_by: Sequence[Remedy]
    beside: Sequence[Remedy]
    cure_rate: CureRate | None
    is_widespread: bool


def room_first_of(
    examination: Examination, findings: Sequence[Finding], remedy_code: str = ""
) -> RoomFirst:
    """Return what treating the room first means for an examination with these findings.

    The room is treated as a finding asks, or else by the remedy with this code, or else by the one
    that takes least time.

    Raises:
        Refused: `room-remedy-unknown`, no remedy with this code treats the room of such an action.
    """
    action = examination.instrument.action
    room = room_verdict_at(examination.instrument, examination.examined_at)
    figures = figures_of(action, learnt())
    can_be_cured = {each.code for each in figures.causes if each.cured_by_room}
    codes = curable_by_room(figures, room.state) if room.state in OUT_OF_RANGE else can_be_cured
    curable = [finding for finding in findings if _is_curable(finding, codes)]
    waiting = _waiting(curable)
    asked_for = _asked_for(findings)
    beside = _beside(asked_for, action, remedy_code)
    return RoomFirst(
        room=room,
        hindrance=hindrance_of(
            room.state,
            was_treated=examination.room_was_treated,
            something_waits=bool(waiting),
            has_treatment=bool(asked_for or beside),
        ),
        now=[finding for finding in findings if finding not in waiting],
        waiting=waiting,
        treated_by=[*asked_for, *beside],
        beside=beside,
        cure_rate=_cure_rate(waiting, can_be_cured),
        is_widespread=_is_widespread(examination, findings, curable),
    )


def room_first_work(
    examination: Examination,
    pins: dict[int, Part],
    *,
    own_minutes: bool = False,
    remedy_code: str = "",
    free_because: FreeBecause = charged,
) -> Work:
    """Return the work that treats the room, and that of the findings that do not wait for it.

    Raises:
        Refused: `room-first-no-plan`, or as `room_first_of`.
    """
    first = room_first_of(examination, findings_of(examination), remedy_code)
    if first.hindrance:
        raise Refused("room-first-no-plan", SENTENCES[first.hindrance])
    compass = compass_of(examination.instrument)
    work = work_on(
        first.now,
        compass,
        pins,
        own_minutes=own_minutes,
        beside=first.beside,
        free_because=free_because,
    )
    return replace(work, waiting=first.waiting)


def _is_curable(finding: Finding, codes: Collection[str]) -> bool:
    """Return whether the room may make the finding's remedy needless: never its own treatment."""
    remedy = remedy_of(finding)
    is_cause = finding.cause is not None and finding.cause.code in codes
    return is_cause and remedy is not None and not remedy.treats_room


def _waiting(curable: Sequence[Finding]) -> list[Finding]:
    """Return what is left to the room of what it may cure: all but single stuck notes."""
    stuck = (each.note_midi for each in curable if each.severity == Severity.SEVERE)
    freed = freed_at_once(stuck)
    return [finding for finding in curable if finding.note_midi not in freed]


def _asked_for(findings: Iterable[Finding]) -> list[Remedy]:
    """Return the remedies that findings ask for and that treat the room."""
    asked_for = {remedy for finding in findings if (remedy := remedy_of(finding))}
    treating = [remedy for remedy in asked_for if remedy.treats_room]
    return sorted(treating, key=lambda remedy: remedy.code)


def _beside(asked_for: Collection[Remedy], action: str, code: str) -> list[Remedy]:
    """Return the remedy with this code, or one where none is asked for, if it is not yet."""
    if asked_for and not code:
        return []
    rows = Remedy.objects.filter(treats_room=True, actions__contains=[action])
    named = rows.filter(code=code) if code else rows
    treatment = named.select_related("set_up").order_by("minutes_likely", "code").first()
    if code and treatment is None:
        detail = f"No remedy {code} treats the room of such an action."
        raise Refused("room-remedy-unknown", detail)
    return [treatment] if treatment and treatment not in asked_for else []


def _cure_rate(waiting: Sequence[Finding], codes: Collection[str]) -> CureRate | None:
    """Return the share of notes that is cured, of whatever cause that the room can cure."""
    shares = [finding.cause.room_cure_share for finding in waiting if finding.cause]
    if not shares:
        return None
    counted = cures_by_treating_the_room().items()
    cures = sum((each for (_, cause), each in counted if cause in codes), NO_CURES)
    return CureRate(sum(shares, Decimal(0)) / len(shares), cures)


def _is_widespread(
    examination: Examination, findings: Iterable[Finding], curable: Iterable[Finding]
) -> bool:
    """Return whether what the room may cure is widespread over the notes examined."""
    compass = compass_of(examination.instrument)
    found = {each.note_midi for each in findings if each.note_midi is not None}
    examined = found.union(examination.notes_examined or compass.notes)
    notes = {each.note_midi for each in curable}
    affected = examined if None in notes else {note for note in notes if note is not None}
    breaks = examination.instrument.breaks_midi
    return spread(sorted(examined), affected, breaks=breaks).is_widespread
