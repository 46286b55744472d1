"""The packing list of a van: what its visits want, beside what the bags, van and shelf hold."""

from collections import defaultdict
from collections.abc import Iterator
from datetime import datetime
from decimal import Decimal

from django.utils import timezone

from billing.models import BagLine, Quote, QuoteStatus
from billing.queries.approval import approval_chance
from billing.queries.trips import PianoWanted, TripWants
from billing.rules.packing import (
    InBags,
    PackedBag,
    PackedPart,
    PackingList,
    PianoVisited,
    PinSizeKnown,
    PinSizeToTake,
    PinsToTake,
    ShortPart,
    Stop,
)
from shop.models import Level, Part, Visit

NOTHING = Decimal(0)
CERTAIN = Decimal(1)


def packing_list(wants: TripWants, *, now: datetime) -> PackingList:
    """Return what to take along, by what is where now: two statements."""
    return _Packing(wants, approval_chance(now)).packing_list()


class _Packing:
    """Puts the list together from what is wanted and the levels of bags, van and shelf."""

    def __init__(self, wants: TripWants, chance: Decimal) -> None:
        self._wants = wants
        self._chance = chance
        self._levels = self._read_levels()
        self._lines: dict[int, list[BagLine]] = defaultdict(list)
        for line in wants.lines:
            self._lines[line.quote_id].append(line)

    def packing_list(self) -> PackingList:
        trip = self._wants.trip
        pianos: dict[int, list[PianoVisited]] = defaultdict(list)
        for piano in self._wants.pianos:
            pianos[piano.instrument.site_id].append(self._piano(piano))
        return PackingList(
            van=trip.van.pk,
            van_name=trip.van.name,
            shelf=trip.shelf.pk,
            shelf_name=trip.shelf.name,
            starts_on=trip.starts_on,
            ends_on=trip.ends_on,
            technician=trip.technician.pk if trip.technician else None,
            approval_chance=self._chance,
            stops=tuple(_stop(visit, pianos[visit.site_id]) for visit in self._wants.visits),
            parts=tuple(self._parts()),
            pins=_pins(self._wants),
        )

    def _read_levels(self) -> dict[tuple[int, int], Decimal]:
        trip = self._wants.trip
        bags = [quote.bag_id for piano in self._wants.pianos for quote in piano.quotes]
        rows = Level.objects.filter(
            place__in=[trip.van.pk, trip.shelf.pk, *bags], part__in=self._wants.part_ids
        )
        return {
            (place, part): quantity
            for place, part, quantity in rows.values_list("place", "part", "quantity")
        }

    def _at(self, place_id: int, part_id: int) -> Decimal:
        return self._levels.get((place_id, part_id), NOTHING)

    def _piano(self, piano: PianoWanted) -> PianoVisited:
        return PianoVisited(
            instrument=piano.instrument.pk,
            name=str(piano.instrument),
            action=piano.instrument.action,
            centres=piano.centres,
            bags=tuple(self._bag(quote) for quote in piano.quotes),
        )

    def _bag(self, quote: Quote) -> PackedBag:
        return PackedBag(
            quote=quote.pk,
            status=quote.status,
            approval_chance=CERTAIN if quote.status == QuoteStatus.APPROVED else self._chance,
            bag=quote.bag_id,
            name=quote.bag.name,
            short=tuple(self._short(quote)),
        )

    def _short(self, quote: Quote) -> Iterator[ShortPart]:
        for line in self._lines[quote.pk]:
            lacking = line.wanted_quantity - self._at(quote.bag_id, line.part_id)
            if lacking > 0:
                yield ShortPart(line.part.code, line.part.name, line.part.unit, lacking)

    def _parts(self) -> Iterator[PackedPart]:
        sums: dict[int, InBags] = defaultdict(InBags)
        parts: dict[int, Part] = {line.part_id: line.part for line in self._wants.lines}
        parts |= {part_id: self._wants.pins_kept[part_id] for part_id in self._wants.pins}
        for quote in (quote for piano in self._wants.pianos for quote in piano.quotes):
            for line in self._lines[quote.pk]:
                sums[line.part_id] += self._in_bag(quote, line)
        for part in sorted(parts.values(), key=lambda part: part.code):
            yield PackedPart(
                part_id=part.pk,
                code=part.code,
                name=part.name,
                unit=part.unit,
                bags=sums[part.pk],
                pins=self._wants.pins.get(part.pk, NOTHING),
                in_van=self._at(self._wants.trip.van.pk, part.pk),
                on_shelf=self._at(self._wants.trip.shelf.pk, part.pk),
            )

    def _in_bag(self, quote: Quote, line: BagLine) -> InBags:
        held = self._at(quote.bag_id, line.part_id)
        short = max(line.wanted_quantity - held, NOTHING)
        if quote.status == QuoteStatus.APPROVED:
            return InBags(in_approved=held, short_in_approved=short)
        return InBags(in_offered=held, short_in_offered=short)


def _stop(visit: Visit, pianos: list[PianoVisited]) -> Stop:
    technician = visit.technician
    return Stop(
        visit=visit.pk,
        starts_at=timezone.localtime(visit.starts_at),
        ends_at=timezone.localtime(visit.ends_at),
        technician=technician.pk,
        technician_name=technician.get_full_name() or technician.username,
        client=visit.site.client.name,
        site=visit.site.name,
        purpose=visit.purpose,
        pianos=tuple(pianos),
    )


def _pins(wants: TripWants) -> PinsToTake:
    kit = wants.kit
    codes = {size: part.code for size, part in kit.parts.items()}
    return PinsToTake(
        centres=sum(piano.centres for piano in wants.pianos),
        confidence=wants.confidence,
        coverage=kit.coverage,
        is_exact=kit.is_exact,
        sizes=tuple(
            PinSizeToTake(size.label, size.diameter_um, count, codes.get(size, ""))
            for size, count in kit.counts.items()
            if count
        ),
        known=tuple(
            PinSizeKnown(each.action, each.size.label, each.share, each.fitted, each.weight)
            for each in kit.known
        ),
    )
