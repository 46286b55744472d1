"""Where a van goes: its coming visits, the pianos there, and what their open quotes want."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from decimal import Decimal

from django.db.models import Exists, OuterRef, Q, QuerySet
from django.utils import timezone

from billing.models import OPEN_STATUSES, BagLine, Quote
from diagnostics.models import BenchWork, Examination, Finding
from diagnostics.queries.pin_kits import JointKit, joint_kit
from diagnostics.queries.work import Work, pins_stocked, works_of
from diagnostics.rules.estimate import parts_wanted
from diagnostics.rules.pins import Scheme
from shop.models import Instrument, Part, Place, ShopProfile, User, Visit, VisitStatus
from shop.queries.visits import visits

NOTHING = Decimal(0)


@dataclass(frozen=True)
class Trip:
    """What a van is packed for: the visits of these days, the last one included.

    They are those of one technician, or without one everybody's. Parts are loaded from `shelf`.
    """

    van: Place
    shelf: Place
    starts_on: date
    ends_on: date
    technician: User | None = None


@dataclass(frozen=True)
class PianoWanted:
    """A piano, its open quotes, and the work that it is likely to take, by examinations quoted.

    Without an open quote it is the work of its last examination, unless that was quoted or worked
    on.
    """

    instrument: Instrument
    quotes: list[Quote]
    works: list[Work]

    @property
    def centres(self) -> int:
        """How many centres take a pin whose size shows at the bench."""
        return sum(work.centres_of_unknown_size for work in self.works)


@dataclass(frozen=True)
class TripWants:
    """What the pianos of a trip want, wherever it may be now.

    `lines` are what the job bags of their open quotes should hold; `pins` how many of each centre
    pin they are likely to take, by part; `pins_kept` all that the shop keeps.
    """

    trip: Trip
    visits: list[Visit]
    pianos: list[PianoWanted]
    lines: list[BagLine]
    pins: dict[int, Decimal]
    pins_kept: dict[int, Part]
    kit: JointKit
    confidence: Decimal

    @property
    def part_ids(self) -> set[int]:
        """The parts that are wanted."""
        return {line.part_id for line in self.lines} | set(self.pins)


def trip_wants(trip: Trip) -> TripWants:
    """Return what the visits of a trip want: the same number of statements for any trip."""
    profile = ShopProfile.objects.get()
    scheme = Scheme(profile.pin_size_scheme)
    stops = list(_visits(trip))
    pins = pins_stocked(scheme)
    pianos = _pianos({visit.site_id for visit in stops}, pins)
    kit = joint_kit(
        [(piano.instrument.action, piano.centres) for piano in pianos],
        pins=pins,
        scheme=scheme,
        confidence=profile.kit_confidence,
    )
    quotes = [quote for piano in pianos for quote in piano.quotes]
    lines = BagLine.objects.filter(quote__in=quotes).select_related("part").order_by("part__code")
    return TripWants(
        trip=trip,
        visits=stops,
        pianos=pianos,
        lines=list(lines),
        pins=_pins_likely(pianos, kit, pins),
        pins_kept=pins,
        kit=kit,
        confidence=profile.kit_confidence,
    )


def _visits(trip: Trip) -> QuerySet[Visit]:
    begins, ends = _midnight(trip.starts_on), _midnight(trip.ends_on + timedelta(days=1))
    rows = visits().filter(status=VisitStatus.PLANNED, starts_at__gte=begins, starts_at__lt=ends)
    if trip.technician:
        rows = rows.filter(technician=trip.technician)
    return rows.select_related("site__client", "technician")


def _midnight(day: date) -> datetime:
    return timezone.make_aware(datetime.combine(day, time.min))


def _pianos(site_ids: Iterable[int], pins: dict[int, Part]) -> list[PianoWanted]:
    instruments = list(Instrument.objects.filter(site__in=site_ids).order_by("pk"))
    open_quotes = list(_open_quotes(instruments))
    quotes: dict[int, list[Quote]] = defaultdict(list)
    for quote in open_quotes:
        quotes[quote.examination.instrument_id].append(quote)
    unquoted = _unquoted([each for each in instruments if each.pk not in quotes])
    done = works_of(_findings(open_quotes, unquoted), pins)
    works: dict[int, list[Work]] = defaultdict(list)
    # Plans that are offered beside each other are of one examination.
    examinations = dict.fromkeys([*(quote.examination for quote in open_quotes), *unquoted])
    for examination in examinations:
        if examination.pk in done:
            works[examination.instrument_id].append(done[examination.pk])
    return [PianoWanted(each, quotes[each.pk], works[each.pk]) for each in instruments]


def _open_quotes(instruments: Sequence[Instrument]) -> QuerySet[Quote]:
    rows = Quote.objects.filter(status__in=OPEN_STATUSES, examination__instrument__in=instruments)
    return rows.select_related("bag", "examination").order_by("pk")


def _unquoted(instruments: Sequence[Instrument]) -> list[Examination]:
    """Return the last examination of each instrument, of which nothing has become so far."""
    quoted = Quote.objects.filter(examination=OuterRef("pk"))
    worked = BenchWork.objects.filter(examination=OuterRef("pk"))
    rows = Examination.objects.filter(instrument__in=instruments)
    last = rows.order_by("instrument", "-examined_at", "-id").distinct("instrument")
    known = last.annotate(is_known=Exists(quoted) | Exists(worked))
    return [examination for examination in known if not examination.is_known]


def _findings(quotes: list[Quote], unquoted: list[Examination]) -> QuerySet[Finding]:
    """Return the findings that the quotes rest on, not what waits, and those not quoted yet."""
    quoted = [finding["id"] for quote in quotes for finding in quote.diagnosis["findings"]]
    return Finding.objects.filter(Q(pk__in=quoted) | Q(examination__in=unquoted))


def _pins_likely(
    pianos: list[PianoWanted], kit: JointKit, pins: dict[int, Part]
) -> dict[int, Decimal]:
    """Return how many of each pin the shop keeps are likely: those of known size, and the kit."""
    likely: dict[int, Decimal] = defaultdict(Decimal)
    for size, count in kit.counts.items():
        if count and size in kit.parts:
            likely[kit.parts[size].pk] += count
    for work in (work for piano in pianos for work in piano.works):
        for part_id, quantity in parts_wanted(work.uses).items():
            if part_id in pins:
                likely[part_id] += quantity
    return dict(likely)
