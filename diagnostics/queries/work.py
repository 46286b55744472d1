"""What an examination's findings ask to be done."""

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal

from django.db.models import QuerySet

from diagnostics.models import (
    ChargedPer,
    Examination,
    Finding,
    Quantity,
    Remedy,
    RemedyPart,
)
from diagnostics.models import SetUp as SetUpRow
from diagnostics.queries.bench_minutes import bench_minutes_of
from diagnostics.queries.instruments import compass_of
from diagnostics.rules.bench_minutes import BenchMinutes, moved_minutes
from diagnostics.rules.estimate import Minutes, PartNeed, RemedyUse, SetUp
from diagnostics.rules.keyboard import Compass
from diagnostics.rules.pins import Scheme, pin_for_worn
from shop.models import Part, PartCategory

# Says of a finding why it is put right for nothing; an empty text, that it is charged.
FreeBecause = Callable[[Finding], str]


def charged(_: Finding) -> str:
    """Return that a finding is charged."""
    return ""


@dataclass(frozen=True)
class Work:
    """The remedies that findings ask for, and the findings that no remedy is known for yet.

    `bench` are the shop's own minutes that moved those of the remedies, by remedy. `waiting` are
    findings that are left until the room was treated: nothing of them is in `uses`. `free_because`
    says of findings, by key, why they cost nothing.
    """

    uses: list[RemedyUse]
    decided: list[Finding]
    undecided: list[Finding]
    bench: Mapping[int, BenchMinutes] = field(default_factory=dict)
    waiting: Sequence[Finding] = ()
    free_because: Mapping[int, str] = field(default_factory=dict)

    @property
    def remedies(self) -> dict[int, Remedy]:
        """The remedies by their keys."""
        remedies = filter(None, map(remedy_of, self.decided))
        return {remedy.pk: remedy for remedy in remedies}

    @property
    def centres_of_unknown_size(self) -> int:
        """How many centres take a pin whose size shows at the bench."""
        return sum(use.pins_of_unknown_size for use in self.uses)


def findings_of(examination: Examination) -> list[Finding]:
    """Return an examination's findings with all that pricing and the snapshot read."""
    return list(_in_full(Finding.objects.filter(examination=examination)))


def _in_full(findings: QuerySet[Finding]) -> QuerySet[Finding]:
    rows = findings.select_related(
        "fault", "component", "cause", "remedy__set_up", "cause__remedy__set_up"
    )
    return rows.prefetch_related("measurements").order_by("note_midi", "fault__code", "id")


def remedy_of(finding: Finding) -> Remedy | None:
    """Return the finding's own remedy, or the one that the catalogue gives its cause."""
    return finding.remedy or (finding.cause.remedy if finding.cause else None)


def minutes_of(row: Remedy | SetUpRow) -> Minutes:
    """Return the catalogue's minutes of a remedy done once, or of a set-up."""
    return Minutes(row.minutes_low, row.minutes_likely, row.minutes_high)


def pins_stocked(scheme: str) -> dict[int, Part]:
    """Return the active centre pins of a size scheme, by part, thinnest first."""
    pins = Part.objects.filter(category=PartCategory.CENTRE_PIN, size_scheme=scheme, is_active=True)
    return {pin.pk: pin for pin in pins.order_by("diameter_um")}


def work_of(
    examination: Examination,
    pins: dict[int, Part],
    *,
    own_minutes: bool = False,
    free_because: FreeBecause = charged,
) -> Work:
    """Return the work that an examination's findings ask for, as `work_on` does."""
    return work_on(
        findings_of(examination),
        compass_of(examination.instrument),
        pins,
        own_minutes=own_minutes,
        free_because=free_because,
    )


def works_of(findings: QuerySet[Finding], pins: dict[int, Part]) -> dict[int, Work]:
    """Return the work that findings of any examinations ask for, by examination, as `work_on` does.

    Takes the same three statements for one examination and for many.
    """
    by_examination: dict[int, list[Finding]] = defaultdict(list)
    for finding in _in_full(findings).select_related("examination__instrument"):
        by_examination[finding.examination_id].append(finding)
    found = [finding for each in by_examination.values() for finding in each]
    needs = _needs_of(remedy.pk for remedy in map(remedy_of, found) if remedy)
    return {
        key: work_on(each, compass_of(each[0].examination.instrument), pins, needs=needs)
        for key, each in by_examination.items()
    }


def work_on(
    findings: Iterable[Finding],
    compass: Compass,
    pins: dict[int, Part],
    *,
    own_minutes: bool = False,
    beside: Iterable[Remedy] = (),
    needs: Mapping[int, tuple[PartNeed, ...]] | None = None,
    free_because: FreeBecause = charged,
) -> Work:
    """Return the work that findings ask for, one use for each remedy, in the remedies' order.

    What is put right for nothing is a use of its own.

    A note that several findings give the same remedy is worked on once. A finding on the whole
    instrument stands for every note of the compass. `pins` are the centre pins stocked. With
    `own_minutes` the shop's bench work moves the catalogue's minutes. `beside` are remedies charged
    once that no finding asks for; `needs` are the remedies' parts when the caller has read them.
    """
    by_remedy: dict[Remedy, list[Finding]] = defaultdict(list, {remedy: [] for remedy in beside})
    decided, undecided = [], []
    for finding in findings:
        remedy = remedy_of(finding)
        if remedy is None:
            undecided.append(finding)
        else:
            decided.append(finding)
            by_remedy[remedy].append(finding)
    if needs is None:
        needs = _needs_of(remedy.pk for remedy in by_remedy)
    bench = bench_minutes_of(by_remedy) if own_minutes else {}
    reasons = {finding.pk: reason for finding in decided if (reason := free_because(finding))}
    uses = [
        replace(
            _use_found(remedy, group, len(compass.notes) - elsewhere, needs[remedy.pk], pins),
            minutes=moved_minutes(minutes_of(remedy), bench.get(remedy.pk)),
            free_because=reason,
        )
        for remedy in sorted(by_remedy, key=lambda remedy: (remedy.set_up.depth, remedy.code))
        for reason, group, elsewhere in _by_reason(remedy, by_remedy[remedy], reasons)
    ]
    return Work(uses, decided, undecided, bench, free_because=reasons)


def _by_reason(
    remedy: Remedy, findings: list[Finding], reasons: Mapping[int, str]
) -> list[tuple[str, list[Finding], int]]:
    """Return a remedy's findings by why they cost nothing, those that are charged first.

    With them stands how many notes other groups have: a note is worked on once, for nothing if one
    of its findings is. What is charged once is free when all that asks for it is.
    """
    free = {each.note_midi: reasons[each.pk] for each in findings if each.pk in reasons}
    if remedy.charged_per == ChargedPer.INSTRUMENT:
        is_free = findings and all(each.pk in reasons for each in findings)
        return [(next(iter(free.values())) if is_free else "", findings, 0)]
    groups: dict[str, list[Finding]] = {} if findings else {"": []}
    for finding in findings:
        groups.setdefault(free.get(finding.note_midi, ""), []).append(finding)
    return [
        (reason, groups[reason], 0 if reason else len(free.keys() - {None}))
        for reason in sorted(groups)
    ]


def extra_use(
    remedy: Remedy, notes: Collection[int], compass: Compass, *, own_minutes: bool = False
) -> RemedyUse:
    """Return a remedy that no finding asks for, on `notes`, or on all of them when none is named.

    The sizes of its centre pins show at the bench.
    """
    needs = _needs_of([remedy.pk])[remedy.pk]
    bench = bench_minutes_of([remedy]) if own_minutes else {}
    use = _use(remedy, len(notes) or len(compass.notes), needs, ())
    return replace(use, minutes=moved_minutes(use.minutes, bench.get(remedy.pk)))


def _needs_of(remedy_ids: Iterable[int]) -> dict[int, tuple[PartNeed, ...]]:
    needs: dict[int, tuple[PartNeed, ...]] = dict.fromkeys(remedy_ids, ())
    rows = RemedyPart.objects.filter(remedy__in=needs).order_by("part_id")
    for row in rows:
        needs[row.remedy_id] += (PartNeed(row.part_id, row.quantity),)
    return needs


def _use_found(
    remedy: Remedy,
    findings: list[Finding],
    compass: int,
    needs: tuple[PartNeed, ...],
    pins: dict[int, Part],
) -> RemedyUse:
    notes = {finding.note_midi for finding in findings}
    note_count = compass if None in notes else len(notes)
    return _use(remedy, note_count, needs, _known_pins(remedy, findings, pins))


def _use(
    remedy: Remedy, note_count: int, needs: tuple[PartNeed, ...], known: tuple[PartNeed, ...]
) -> RemedyUse:
    times = note_count if remedy.charged_per == ChargedPer.NOTE else 1
    centres = times * remedy.pins_per_note - sum(int(pin.quantity) for pin in known)
    return RemedyUse(
        remedy_id=remedy.pk,
        name=remedy.name,
        set_up=_set_up(remedy),
        times=times,
        note_count=note_count,
        minutes=minutes_of(remedy),
        needs=needs,
        pins_of_unknown_size=centres,
        pins=known,
    )


def _set_up(remedy: Remedy) -> SetUp:
    row = remedy.set_up
    return SetUp(code=row.code, name=row.name, depth=row.depth, minutes=minutes_of(row))


def _known_pins(
    remedy: Remedy, findings: list[Finding], pins: dict[int, Part]
) -> tuple[PartNeed, ...]:
    """Return the pins of the notes whose old pin was measured: the next half size up of each."""
    if not (remedy.takes_pin_kit and pins):
        return ()
    stocked = {part_id: pin.diameter_um or 0 for part_id, pin in pins.items()}
    scheme = Scheme(next(iter(pins.values())).size_scheme)
    wanted: dict[int, Decimal] = defaultdict(Decimal)
    for measured in _measured_pins(findings).values():
        wanted[pin_for_worn(measured, scheme, stocked)] += remedy.pins_per_note
    return tuple(PartNeed(part_id, quantity) for part_id, quantity in sorted(wanted.items()))


def _measured_pins(findings: list[Finding]) -> dict[int, int]:
    """Return the diameter of the pin found, in micrometres, by note."""
    return {
        finding.note_midi: int(measurement.value)
        for finding in findings
        for measurement in finding.measurements.all()
        if measurement.quantity == Quantity.PIN_DIAMETER_UM and finding.note_midi is not None
    }
