"""Which centre pins to take along, from what the shop fitted and what the catalogue says."""

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from django.db.models import Sum

from diagnostics.models import Examination, FittedPart, PinShare
from diagnostics.queries.pin_sizes import parts_by_size
from diagnostics.queries.work import pins_stocked, work_of
from diagnostics.rules.pin_kit import Demand, coverage, pin_kit, size_weights
from diagnostics.rules.pins import PinSize, Scheme, nearest_size, parse_size
from shop.models import Part, PartCategory, ShopProfile


@dataclass(frozen=True)
class SizeInKit:
    """A size, how many of it to take, and why.

    `part` is the shop's pin of this size, if it keeps one; `share` the catalogue's, `fitted` the
    shop's own count, `weight` what both come to, in pins.
    """

    size: PinSize
    count: int
    part: Part | None
    share: Decimal
    fitted: int
    weight: float


@dataclass(frozen=True)
class PinKit:
    """Pins for `centres` whose sizes show at the bench, thinnest first.

    `coverage` is the chance that all sizes suffice, or a number that it is not below unless it
    `is_exact`; `coverage_stocked` the same when only the sizes that the shop keeps are taken.
    """

    centres: int
    confidence: Decimal
    action: str
    sizes: list[SizeInKit]
    coverage: float
    coverage_stocked: float
    is_exact: bool

    @property
    def by_part(self) -> dict[int, int]:
        """How many to take of the pins that the shop keeps, by part."""
        return {row.part.pk: row.count for row in self.sizes if row.part and row.count}

    @property
    def not_stocked(self) -> list[PinSize]:
        """The sizes to take of which the shop keeps no pin."""
        return [row.size for row in self.sizes if row.count and not row.part]


@dataclass(frozen=True)
class ExaminationKit:
    """The pins that an examination's findings ask for: the measured ones, and the kit."""

    examination: Examination
    kit: PinKit
    known: dict[Part, Decimal]


def examination_kit(examination: Examination, confidence: Decimal | None = None) -> ExaminationKit:
    """Return the pins to take for an examination, with the shop's own confidence if none is given.

    Takes the same few statements whatever was found.
    """
    profile = ShopProfile.objects.get()
    pins = pins_stocked(profile.pin_size_scheme)
    work = work_of(examination, pins)
    known: dict[Part, Decimal] = defaultdict(Decimal)
    for need in (need for use in work.uses for need in use.pins):
        known[pins[need.part_id]] += need.quantity
    kit = kit_for(
        work.centres_of_unknown_size,
        action=examination.instrument.action,
        pins=pins,
        scheme=Scheme(profile.pin_size_scheme),
        confidence=confidence or profile.kit_confidence,
    )
    return ExaminationKit(examination, kit, dict(known))


def kit_for(
    centres: int, *, action: str, pins: Mapping[int, Part], scheme: Scheme, confidence: Decimal
) -> PinKit:
    """Return the kit for centres of one piano with this kind of action.

    `pins` are the centre pins that the shop keeps, of its `scheme`, by part.
    """
    (kit,) = kits_for([centres], action=action, pins=pins, scheme=scheme, confidence=confidence)
    return kit


def kits_for(
    counts: Iterable[int],
    *,
    action: str,
    pins: Mapping[int, Part],
    scheme: Scheme,
    confidence: Decimal,
) -> list[PinKit]:
    """Return a kit for each count of centres, each as if it were the only one, as `kit_for`."""
    shares, fitted = _shares(scheme), fitted_sizes([action], scheme)[action]
    return [
        _kit(centres, shares, fitted, pins=pins, action=action, confidence=confidence)
        for centres in counts
    ]


def _kit(
    centres: int,
    shares: Mapping[PinSize, Decimal],
    fitted: Counter[PinSize],
    *,
    pins: Mapping[int, Part],
    action: str,
    confidence: Decimal,
) -> PinKit:
    weights = size_weights(shares, fitted)
    demands = [Demand(centres, weights)] if centres else []
    kit = pin_kit(demands, Fraction(confidence))
    parts = parts_by_size(pins.values())
    stocked = {size: count for size, count in kit.counts.items() if size in parts}
    rows = [
        SizeInKit(
            size=size,
            count=kit.counts.get(size, 0),
            part=parts.get(size),
            share=shares.get(size, Decimal(0)),
            fitted=fitted.get(size, 0),
            weight=weight,
        )
        for size, weight in weights.items()
    ]
    return PinKit(
        centres=centres,
        confidence=confidence,
        action=action,
        sizes=rows,
        coverage=kit.coverage,
        coverage_stocked=coverage(demands, stocked)[0],
        is_exact=kit.is_exact,
    )


@dataclass(frozen=True)
class SizeKnown:
    """What is known of a size in one kind of action: as `SizeInKit` has it of one piano."""

    action: str
    size: PinSize
    share: Decimal
    fitted: int
    weight: float


@dataclass(frozen=True)
class JointKit:
    """Pins that suffice for several pianos together, thinnest first.

    `coverage` is the chance that all sizes suffice, or a number that it is not below unless it
    `is_exact`. `parts` are the pins that the shop keeps, by size.
    """

    counts: Mapping[PinSize, int]
    coverage: float
    is_exact: bool
    known: list[SizeKnown]
    parts: Mapping[PinSize, Part]


def joint_kit(
    pianos: Sequence[tuple[str, int]],
    *,
    pins: Mapping[int, Part],
    scheme: Scheme,
    confidence: Decimal,
) -> JointKit:
    """Return the kit for several pianos together, as `kit_for` does for one.

    `pianos` are the kind of action of each and its centres of unknown size. It takes the same two
    statements for any number of them.
    """
    shares = _shares(scheme)
    fitted = fitted_sizes({action for action, _ in pianos}, scheme)
    weights = {action: size_weights(shares, each) for action, each in fitted.items()}
    demands = [Demand(centres, weights[action]) for action, centres in pianos if centres]
    kit = pin_kit(demands, Fraction(confidence))
    known = [
        SizeKnown(action, size, shares.get(size, Decimal(0)), fitted[action][size], weight)
        for action, each in sorted(weights.items())
        for size, weight in each.items()
    ]
    return JointKit(kit.counts, kit.coverage, kit.is_exact, known, parts_by_size(pins.values()))


def fitted_sizes(actions: Collection[str], scheme: Scheme) -> dict[str, Counter[PinSize]]:
    """Return for each kind of action how many centre pins of each size went into its instruments.

    A pin counts as the size of `scheme` nearest to its diameter.
    """
    action = "bench_work__examination__instrument__action"
    rows = FittedPart.objects.filter(
        part__category=PartCategory.CENTRE_PIN, **{f"{action}__in": list(actions)}
    )
    totals = rows.values(action, "part__diameter_um").annotate(total=Sum("quantity")).order_by()
    sizes: dict[str, Counter[PinSize]] = {each: Counter() for each in actions}
    for kind, diameter_um, total in totals.values_list(action, "part__diameter_um", "total"):
        sizes[kind][nearest_size(diameter_um or 0, scheme)] += round(total)
    return sizes


def _shares(scheme: Scheme) -> dict[PinSize, Decimal]:
    rows = PinShare.objects.values_list("size_label", "share")
    return {parse_size(label, scheme): share for label, share in rows}
