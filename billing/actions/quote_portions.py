"""Steps that part the work of a quote into what is firm and what the client may take or leave."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from billing.actions.quote_terms import OptionTerms, QuoteTerms, refuse_discounts
from billing.rules.prices import PriceBook
from billing.rules.pricing import Offer, offer_of, option_lines, priced_lines
from diagnostics.models import Examination
from diagnostics.queries.pin_kits import PinKit, kits_for
from diagnostics.queries.work import Work
from diagnostics.rules.estimate import RemedyUse, parts_wanted
from diagnostics.rules.pins import Scheme
from shop.errors import FieldError, Refused
from shop.models import Part, ShopProfile

NO_KIT: Mapping[int, int] = {}


@dataclass(frozen=True)
class Portion:
    """Work that is quoted together: the firm part, or an option on the terms given.

    `pin_kit` are the pins for centres of unknown size, None when there are no such.
    """

    uses: list[RemedyUse]
    pin_kit: PinKit | None
    option: OptionTerms | None = None

    @property
    def kit(self) -> Mapping[int, int]:
        """How many pins to take along, by part."""
        return self.pin_kit.by_part if self.pin_kit else NO_KIT

    @property
    def wanted(self) -> dict[int, Decimal]:
        """What the job bag is to hold, by part."""
        wanted = parts_wanted(self.uses)
        for part_id, count in self.kit.items():
            wanted[part_id] = wanted.get(part_id, Decimal(0)) + count
        return wanted


def portions_of(
    work: Work,
    terms: QuoteTerms,
    *,
    examination: Examination,
    pins: dict[int, Part],
    profile: ShopProfile,
) -> list[Portion]:
    """Return the firm part of the work, and each option.

    Raises:
        Refused: `option-unknown`, `nothing-to-quote` when nothing is firm, or `no-pins-kept`.
    """
    optional = _optional(work, terms)
    named = {remedy_id for remedy_ids in optional for remedy_id in remedy_ids}
    groups = [[use for use in work.uses if use.remedy_id not in named]]
    groups += [[use for use in work.uses if use.remedy_id in each] for each in optional]
    if work.uses and not groups[0]:
        raise Refused("nothing-to-quote", "All of the work is optional; leave some of it firm.")
    kits = _pin_kits(groups, examination, pins, profile)
    return [
        Portion(uses, kit, option)
        for uses, kit, option in zip(groups, kits, [None, *terms.options], strict=True)
    ]


def portion_of(
    use: RemedyUse, *, examination: Examination, pins: dict[int, Part], profile: ShopProfile
) -> Portion:
    """Return one remedy as a portion of its own.

    Raises:
        Refused: `no-pins-kept`.
    """
    (pin_kit,) = _pin_kits([[use]], examination, pins, profile)
    return Portion([use], pin_kit)


def _optional(work: Work, terms: QuoteTerms) -> list[set[int]]:
    """Return the keys of each option's remedies."""
    keys = {remedy.code: remedy.pk for remedy in work.remedies.values()}
    errors = tuple(
        FieldError(
            f"/options/{index}/remedies/{place}",
            "option-unknown",
            f"No finding that is quoted asks for the remedy {code!r}.",
        )
        for index, option in enumerate(terms.options)
        for place, code in enumerate(option.remedies)
        if code not in keys
    )
    if errors:
        raise Refused("option-unknown", errors[0].detail, errors)
    return [{keys[code] for code in option.remedies} for option in terms.options]


def _pin_kits(
    groups: Iterable[list[RemedyUse]],
    examination: Examination,
    pins: dict[int, Part],
    profile: ShopProfile,
) -> list[PinKit | None]:
    counts = [sum(use.pins_of_unknown_size for use in uses) for uses in groups]
    if not any(counts):
        return [None for _ in counts]
    kits = kits_for(
        counts,
        action=examination.instrument.action,
        pins=pins,
        scheme=Scheme(profile.pin_size_scheme),
        confidence=profile.kit_confidence,
    )
    if any(kit.centres and not kit.by_part for kit in kits):
        raise Refused(
            "no-pins-kept",
            "The shop keeps no centre pins of the sizes most met; add them, or measure the pins"
            " found and record pin_diameter_um.",
        )
    return [kit if kit.centres else None for kit in kits]


def offers_of(portions: list[Portion], book: PriceBook, terms: QuoteTerms) -> list[Offer]:
    """Return what the firm part and each option come to; the discount of the whole is on the first.

    Raises:
        Refused: `discount-of-nothing` or `allowance-beyond-lines`.
    """
    firm, *options = portions
    lines = [priced_lines(firm.uses, firm.kit, book)]
    lines += [option_lines(each.uses, each.kit, firm.uses, book) for each in options]
    refuse_discounts(terms, book.discounts, lines)
    return [offer_of(rows, book, is_firm=rows is lines[0]) for rows in lines]
