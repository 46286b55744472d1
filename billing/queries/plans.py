"""The plans for an examination side by side, with what they rest on."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from billing.models import FeeKind
from billing.queries.price_book import price_book_on
from billing.queries.warranty import free_by_warranty
from billing.rules.job_costs import Costing
from billing.rules.plans import Job, Plan, Plans, plan_now, plans
from diagnostics.models import ChargedPer, Examination, Finding
from diagnostics.queries.instruments import compass_of
from diagnostics.queries.pin_kits import kit_for
from diagnostics.queries.room_first import RoomFirst, room_first_of
from diagnostics.queries.settled_room import settled_readings
from diagnostics.queries.work import Work, findings_of, pins_stocked, remedy_of, work_on
from diagnostics.rules.estimate import parts_wanted
from diagnostics.rules.keyboard import Compass
from diagnostics.rules.pins import Scheme
from shop.errors import Refused
from shop.models import Part, ShopProfile

NO_NOTES: frozenset[int] = frozenset()


@dataclass(frozen=True)
class ExaminationPlans:
    """What repairing everything now comes to, and treating the room first if that is a plan.

    What is done under warranty costs nothing in either.

    `both` is None when it is none. `cured_chances` are those that 0, 1, ... all notes that wait are
    cured, `settled_readings` how many of the newest two readings since are in range.
    """

    examination: Examination
    room_first: RoomFirst
    undecided_count: int
    warranty_count: int
    costing: Costing
    now: Plan
    both: Plans | None
    waiting_notes: frozenset[int]
    cured_chances: Sequence[float]
    settle_days: int
    settled_readings: int


def plans_of(examination: Examination, *, day: date, room_remedy: str = "") -> ExaminationPlans:
    """Return the plans for an examination, which has its instrument, at the prices of `day`.

    Raises:
        Refused: `nothing-to-quote`, no finding has a remedy; `room-remedy-unknown`; or prices are
            missing, as `price_book_on`.
    """
    profile = ShopProfile.objects.get()
    findings = findings_of(examination)
    free = free_by_warranty(examination, profile)
    warranty = [each for each in findings if remedy_of(each) and free(each)]
    room_first = room_first_of(examination, findings, room_remedy)
    pins, compass = pins_stocked(profile.pin_size_scheme), compass_of(examination.instrument)
    work = work_on(
        [each for each in findings if each not in warranty],
        compass,
        pins,
        own_minutes=profile.quotes_by_bench_work,
        beside=room_first.beside,
    )
    if not (work.decided or warranty):
        raise Refused("nothing-to-quote", "No finding has a remedy yet; record what was found.")
    costing = _costing(work, examination, pins, profile, day)
    jobs = _jobs(work, room_first, compass, costing)
    treatment = [jobs.pop(remedy.pk) for remedy in room_first.beside]
    waiting = NO_NOTES.union(*(job.waiting for job in jobs.values()))
    rate = None if room_first.hindrance else room_first.cure_rate
    chances = rate.cured_chances(len(waiting)) if rate else []
    everything = list(jobs.values())
    return ExaminationPlans(
        examination=examination,
        room_first=room_first,
        undecided_count=len(work.undecided),
        warranty_count=len(warranty),
        costing=costing,
        now=plan_now(everything, costing.tariff),
        both=plans(everything, treatment, costing.tariff, chances) if rate else None,
        waiting_notes=waiting,
        cured_chances=chances,
        settle_days=profile.settle_days,
        settled_readings=_settled_readings(examination),
    )


def _costing(
    work: Work, examination: Examination, pins: dict[int, Part], profile: ShopProfile, day: date
) -> Costing:
    """Return the prices of the work; pins of unknown size cost what the dearest of a kit does."""
    kit = {}
    if work.centres_of_unknown_size:
        kit = kit_for(
            work.centres_of_unknown_size,
            action=examination.instrument.action,
            pins=pins,
            scheme=Scheme(profile.pin_size_scheme),
            confidence=profile.kit_confidence,
        ).by_part
    book = price_book_on(
        day=day,
        profile=profile,
        site=examination.instrument.site,
        part_ids=[*parts_wanted(work.uses), *kit],
        fee_kinds=[FeeKind.TRAVEL],
    )
    pin_prices = [book.parts[part_id].price.amount for part_id in kit]
    return Costing(book, max(pin_prices, default=Decimal(0)))


def _jobs(work: Work, room_first: RoomFirst, compass: Compass, costing: Costing) -> dict[int, Job]:
    """Return the work by remedy; what treats the room beside is done on the whole instrument."""
    charged = set(work.decided)
    now = _notes_by_remedy(charged.intersection(room_first.now), compass)
    waiting = _notes_by_remedy(charged.intersection(room_first.waiting), compass)
    whole = frozenset(compass.notes)
    beside = {remedy.pk: remedy for remedy in room_first.beside}
    remedies = work.remedies | beside
    return {
        use.remedy_id: costing.job(
            use,
            now.get(use.remedy_id, whole if use.remedy_id in beside else NO_NOTES),
            waiting.get(use.remedy_id, NO_NOTES),
            once=remedies[use.remedy_id].charged_per == ChargedPer.INSTRUMENT,
        )
        for use in work.uses
    }


def _notes_by_remedy(findings: Iterable[Finding], compass: Compass) -> Mapping[int, frozenset[int]]:
    notes: dict[int, frozenset[int]] = {}
    for finding in findings:
        remedy = remedy_of(finding)
        if remedy:
            midi = finding.note_midi
            new = frozenset(compass.notes) if midi is None else frozenset({midi})
            notes[remedy.pk] = notes.get(remedy.pk, NO_NOTES) | new
    return notes


def _settled_readings(examination: Examination) -> int:
    rows = Examination.objects.filter(pk=examination.pk)
    settled = rows.annotate(settled=settled_readings("instrument", "examined_at"))
    return int(settled.values_list("settled", flat=True).get())
