"""Making a quote: from findings to a price, and from the shelf to the job bag."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, datetime, timedelta
from decimal import Decimal
from itertools import chain

from django.db import transaction

from billing.actions.follow_ups import follow_up_make
from billing.actions.quote_portions import offers_of, portions_of
from billing.actions.quote_rows import quote_price, quote_store
from billing.actions.quote_terms import (
    QuoteTerms,
    deposit_asked,
    discount_keys,
)
from billing.actions.quotes import examination_lock, quote_supersede
from billing.models import OPEN_STATUSES, Quote, QuoteStatus
from billing.queries.price_book import price_book_on
from billing.queries.warranty import free_by_warranty
from billing.rules.plans import PlanKind
from billing.rules.prices import PriceBook
from diagnostics.models import Examination, Finding
from diagnostics.queries.room_first import room_first_work
from diagnostics.queries.snapshot import diagnosis_of
from diagnostics.queries.work import Work, pins_stocked, work_of
from shop.actions.bags import Packed, bag_pack, bag_repack
from shop.actions.stock import Posted
from shop.errors import FieldError, Refused
from shop.models import Part, ShopProfile, User
from shop.queries.words import words_for
from shop.rules.quantities import plain
from shop.rules.words import Words


@transaction.atomic
def quote_make(
    *, examination: Examination, terms: QuoteTerms, made_at: datetime, made_on: date, made_by: User
) -> Quote:
    """Price an examination's findings, take the parts into a job bag and return the quote.

    Raises:
        Refused: `nothing-to-quote`, `findings-undecided`, `already-quoted`, `stock-short` (with
            `require_stock`), `labour-rate-missing`, `tax-rate-missing`, `fee-unknown`,
            `discount-of-nothing`, `allowance-beyond-lines`, `option-unknown` or
            `deposit-beyond-rest`; to treat the room first, `room-first-no-plan` or
            `room-remedy-unknown`; to revise, `work-begun` or `already-invoiced`.
    """
    examination = examination_lock(examination.pk)
    earlier = list(Quote.objects.filter(examination=examination).order_by("pk"))
    last = _last_version(earlier, terms)
    profile = ShopProfile.objects.get()
    pins = pins_stocked(profile.pin_size_scheme)
    words = words_for(examination.instrument.site.client, profile)
    work = _work(examination, pins, profile, terms, words)
    _refuse_unready(work, terms)
    portions = portions_of(work, terms, examination=examination, pins=pins, profile=profile)
    wanted = portions[0].wanted
    book = _discounted(
        price_book_on(
            day=made_on,
            profile=profile,
            site=examination.instrument.site,
            part_ids=chain(*(portion.wanted for portion in portions)),
            fee_kinds=terms.fees,
            words=words,
        ),
        terms,
    )
    offers = offers_of(portions, book, terms)
    quote = Quote(
        examination=examination,
        client=examination.instrument.site.client,
        made_at=made_at,
        made_by=made_by,
        plan=terms.plan,
        version=last.version + 1 if last else 1,
        supersedes=last,
        valid_until=made_on + timedelta(days=terms.validity_days or profile.quote_validity_days),
        terms=profile.quote_terms if terms.terms is None else terms.terms,
        from_place=terms.from_place,
        diagnosis=diagnosis_of(examination, work, portions[0].pin_kit),
    )
    bag_name = f"Job bag {examination.pk}-{len(earlier) + 1}"
    packed = _bagged(quote, bag_name, wanted, require_stock=terms.require_stock)
    quote_price(quote, offers[0], book)
    quote.deposit_percent, quote.deposit_amount = deposit_asked(
        terms, profile, quote.payable_total, book.decimals
    )
    quote_store(quote, list(zip(portions, offers, strict=True)), book, packed)
    if terms.plan == PlanKind.ROOM_FIRST:
        follow_up_make(quote=quote, due_on=made_on + timedelta(days=profile.settle_days))
    return quote


def _work(
    examination: Examination,
    pins: dict[int, Part],
    profile: ShopProfile,
    terms: QuoteTerms,
    words: Words,
) -> Work:
    own_minutes = profile.quotes_by_bench_work
    free = free_by_warranty(examination, profile, words)
    if terms.plan == PlanKind.NOW:
        return work_of(examination, pins, own_minutes=own_minutes, free_because=free)
    return room_first_work(
        examination,
        pins,
        own_minutes=own_minutes,
        remedy_code=terms.room_remedy,
        free_because=free,
    )


def _discounted(book: PriceBook, terms: QuoteTerms) -> PriceBook:
    off = [each.off for each in terms.discounts]
    discounts = dict(zip(discount_keys(terms), off, strict=True))
    return replace(book, discounts=discounts, discount=terms.discount)


def _last_version(earlier: list[Quote], terms: QuoteTerms) -> Quote | None:
    """Return the open quote to revise, superseded: that of the plan, or else the only one.

    An alternative leaves an offered quote of another plan alone.
    """
    open_quotes = [quote for quote in earlier if quote.status in OPEN_STATUSES]
    beside = [QuoteStatus.OFFERED] if terms.alternative else []
    in_the_way = [quote for quote in open_quotes if quote.plan == terms.plan]
    if not in_the_way:
        in_the_way = [quote for quote in open_quotes if quote.status not in beside]
    if in_the_way and not terms.revise:
        raise Refused(
            "already-quoted",
            f"Quote {in_the_way[0].pk} of this examination is {in_the_way[0].status}; withdraw it,"
            " or send revise: true to make its next version, or alternative: true to offer another"
            " plan beside it before either is approved.",
        )
    return quote_supersede(quote=in_the_way[0]) if in_the_way else None


def _refuse_unready(work: Work, terms: QuoteTerms) -> None:
    if not work.uses and not work.undecided:
        raise Refused("nothing-to-quote", "The examination has no findings; record them first.")
    if work.undecided and not (work.uses and terms.leave_out_undecided):
        raise Refused(
            "findings-undecided",
            "Some findings have neither a remedy nor a cause; give them one, or send"
            " leave_out_undecided: true to quote the others.",
            tuple(_undecided_error(finding) for finding in work.undecided),
        )


def _undecided_error(finding: Finding) -> FieldError:
    on = "the instrument" if finding.note_midi is None else f"MIDI note {finding.note_midi}"
    detail = f"Finding {finding.pk}, {finding.fault.name.lower()} on {on}, has no remedy yet."
    return FieldError(f"/findings/{finding.pk}/remedy", "remedy-undecided", detail)


def _bagged(
    quote: Quote,
    bag_name: str,
    wanted: Mapping[int, Decimal],
    *,
    require_stock: bool,
) -> Packed:
    """Return the quote's job bag and what it gets, as far as stock goes."""
    last = quote.supersedes
    if last:
        quote.bag = last.bag
        packed = bag_repack(
            bag=last.bag,
            from_place=quote.from_place,
            back_to=last.from_place,
            wanted=wanted,
            posted=Posted(quote.made_at, quote.made_by, last.bag.name),
        )
    else:
        posted = Posted(quote.made_at, quote.made_by, bag_name)
        packed = bag_pack(name=bag_name, from_place=quote.from_place, wanted=wanted, posted=posted)
    if require_stock:
        _refuse_short(wanted, packed.taken)
    return packed


def _refuse_short(wanted: Mapping[int, Decimal], taken: Mapping[int, Decimal]) -> None:
    short = {part: wanted[part] - taken[part] for part in wanted if taken[part] < wanted[part]}
    if short:
        names = Part.objects.filter(pk__in=short).order_by("pk").values_list("pk", "code")
        raise Refused(
            "stock-short",
            "There is not enough on the shelf; receive goods, or quote without require_stock.",
            tuple(
                FieldError(
                    "/require_stock", "stock-short", f"{plain(short[pk])} of {code} are short."
                )
                for pk, code in names
            ),
        )
