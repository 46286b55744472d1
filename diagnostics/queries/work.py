"""What an examination's findings ask to be done."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from diagnostics.models import (
    ChargedPer,
    Examination,
    Finding,
    Quantity,
    Remedy,
    RemedyPart,
)
from diagnostics.rules.estimate import Minutes, PartNeed, RemedyUse, SetUp
from diagnostics.rules.pins import pin_for_worn
from shop.models import Part, PartCategory, SizeScheme

# Source: one half size is 0.001 in by the inch scheme (published on a technicians' forum, 2024) and
# 0.025 mm by the metric scheme (from memory).
HALF_SIZE_UM = {SizeScheme.INCH: Decimal("25.4"), SizeScheme.METRIC: Decimal(25)}


@dataclass(frozen=True)
class Work:
    """The remedies an examination asks for, and the findings that no remedy is known for yet."""

    uses: list[RemedyUse]
    decided: list[Finding]
    undecided: list[Finding]


def findings_of(examination: Examination) -> list[Finding]:
    """Return an examination's findings with all that pricing and the snapshot read."""
    rows = Finding.objects.filter(examination=examination).select_related(
        "fault", "component", "cause", "remedy__set_up", "cause__remedy__set_up"
    )
    return list(rows.prefetch_related("measurements").order_by("note_midi", "fault__code", "id"))


def remedy_of(finding: Finding) -> Remedy | None:
    """Return the finding's own remedy, or the one that the catalogue gives its cause."""
    return finding.remedy or (finding.cause.remedy if finding.cause else None)


def pins_stocked(scheme: str) -> dict[int, Part]:
    """Return the active centre pins of a size scheme, by part, thinnest first."""
    pins = Part.objects.filter(category=PartCategory.CENTRE_PIN, size_scheme=scheme, is_active=True)
    return {pin.pk: pin for pin in pins.order_by("diameter_um")}


def work_of(examination: Examination, pins: dict[int, Part]) -> Work:
    """Return the work that the findings ask for, one use for each remedy, in the remedies' order.

    A note that several findings give the same remedy is worked on once. A finding on the whole
    instrument stands for every note of the compass. `pins` are the centre pins stocked.
    """
    findings = findings_of(examination)
    by_remedy: dict[Remedy, list[Finding]] = defaultdict(list)
    decided, undecided = [], []
    for finding in findings:
        remedy = remedy_of(finding)
        if remedy is None:
            undecided.append(finding)
        else:
            decided.append(finding)
            by_remedy[remedy].append(finding)
    needs = _needs_of(by_remedy)
    compass = examination.instrument.highest_midi - examination.instrument.lowest_midi + 1
    uses = [
        _use(remedy, by_remedy[remedy], compass, needs[remedy.pk], pins)
        for remedy in sorted(by_remedy, key=lambda remedy: (remedy.set_up.depth, remedy.code))
    ]
    return Work(uses=uses, decided=decided, undecided=undecided)


def _needs_of(remedies: Iterable[Remedy]) -> dict[int, tuple[PartNeed, ...]]:
    needs: dict[int, tuple[PartNeed, ...]] = {remedy.pk: () for remedy in remedies}
    rows = RemedyPart.objects.filter(remedy__in=needs).order_by("part_id")
    for row in rows:
        needs[row.remedy_id] += (PartNeed(row.part_id, row.quantity),)
    return needs


def _use(
    remedy: Remedy,
    findings: list[Finding],
    compass: int,
    needs: tuple[PartNeed, ...],
    pins: dict[int, Part],
) -> RemedyUse:
    notes = {finding.note_midi for finding in findings}
    note_count = compass if None in notes else len(notes)
    times = note_count if remedy.charged_per == ChargedPer.NOTE else 1
    known = _known_pins(remedy, findings, pins)
    centres = times * remedy.pins_per_note - sum(int(pin.quantity) for pin in known)
    return RemedyUse(
        remedy_id=remedy.pk,
        name=remedy.name,
        set_up=_set_up(remedy),
        times=times,
        note_count=note_count,
        minutes=Minutes(remedy.minutes_low, remedy.minutes_likely, remedy.minutes_high),
        needs=needs,
        pins_of_unknown_size=centres,
        pins=known,
    )


def _set_up(remedy: Remedy) -> SetUp:
    row = remedy.set_up
    minutes = Minutes(row.minutes_low, row.minutes_likely, row.minutes_high)
    return SetUp(code=row.code, name=row.name, depth=row.depth, minutes=minutes)


def _known_pins(
    remedy: Remedy, findings: list[Finding], pins: dict[int, Part]
) -> tuple[PartNeed, ...]:
    """Return the pins of the notes whose old pin was measured: the next half size up of each."""
    if not (remedy.takes_pin_kit and pins):
        return ()
    stocked = {part_id: pin.diameter_um or 0 for part_id, pin in pins.items()}
    half_size = HALF_SIZE_UM[SizeScheme(next(iter(pins.values())).size_scheme)]
    wanted: dict[int, Decimal] = defaultdict(Decimal)
    for measured in _measured_pins(findings).values():
        wanted[pin_for_worn(measured, half_size, stocked)] += remedy.pins_per_note
    return tuple(PartNeed(part_id, quantity) for part_id, quantity in sorted(wanted.items()))


def _measured_pins(findings: list[Finding]) -> dict[int, int]:
    """Return the diameter of the pin found, in micrometres, by note."""
    return {
        finding.note_midi: int(measurement.value)
        for finding in findings
        for measurement in finding.measurements.all()
        if measurement.quantity == Quantity.PIN_DIAMETER_UM and finding.note_midi is not None
    }
