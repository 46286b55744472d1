"""Extra work on an approved quote: recorded, and approved or declined where it must be."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal
from typing import Any

from django.db import transaction

from billing.actions.agreements import bag_fill
from billing.actions.documents import line_row, numbered, tax_row, totals_set
from billing.actions.quote_portions import portion_of
from billing.actions.quotes import quote_lock
from billing.models import (
    ChangeStatus,
    Quote,
    QuoteChange,
    QuoteChangeLine,
    QuoteChangePart,
    QuoteChangeTax,
    QuoteStatus,
)
from billing.queries.changes import AgreedWork, agreed_work, is_set_up_charged_since, made_on
from billing.queries.price_book import price_book_on
from billing.rules.extra_work import further_set_up, tolerance_left
from billing.rules.prices import PriceBook
from billing.rules.pricing import PricedLine, offer_of, priced_lines
from diagnostics.actions.drafts import DraftReader
from diagnostics.models import Remedy
from diagnostics.queries.instruments import compass_of
from diagnostics.queries.work import extra_use, pins_stocked
from diagnostics.rules.estimate import RemedyUse
from diagnostics.rules.note_names import Naming
from shop.actions.bulk import Rows, columns_of, rows_insert
from shop.actions.stock import Posted
from shop.errors import Refused
from shop.models import ShopProfile, User
from shop.queries.words import words_for

NOTHING = Decimal(0)


@dataclass(frozen=True)
class ChangeDraft:
    """Extra work as it was posted: a remedy by its code, notes in `naming`, and why.

    Without notes it is on the whole instrument.
    """

    remedy: str
    reason: str
    notes: str = ""
    naming: str = Naming.SCIENTIFIC


@dataclass(frozen=True)
class _Priced:
    lines: list[PricedLine]
    book: PriceBook
    wanted: Mapping[int, Decimal]


@transaction.atomic
def change_make(
    *, quote: Quote, draft: ChangeDraft, made_at: datetime, made_by: User
) -> QuoteChange:
    """Record extra work on an approved quote, at the prices of its day, and return the change.

    Within the shop's tolerance it is agreed at once, and its parts go into the job bag as far as
    stock goes; beyond, it is proposed.

    Raises:
        InvalidInput: the draft names something that there is not on this instrument.
        Refused: `quote-not-open`, or what pricing refuses (see `quote_make`).
    """
    quote = _approved(quote)
    remedy, notes = _read(draft, quote)
    profile, agreed = ShopProfile.objects.get(), agreed_work(quote)
    priced = _priced(quote, _use(quote, remedy, notes, agreed, profile), profile)
    change = QuoteChange(
        quote=quote,
        number=quote.changes.count() + 1,
        remedy=remedy,
        notes_midi=notes,
        reason=draft.reason,
        made_at=made_at,
        made_by=made_by,
        currency=quote.currency,
        minor_units=quote.minor_units,
        tolerance_left=_tolerance_left(quote, agreed, profile),
    )
    _stored(change, priced)
    if change.status == ChangeStatus.TOLERATED:
        _bagged(change, quote, Posted(made_at, made_by, quote.bag.name))
    return change


@transaction.atomic
def change_approve(
    *, change: QuoteChange, approved_by_name: str, decided_at: datetime, decided_by: User
) -> QuoteChange:
    """Record that the client agreed to extra work, and put its parts into the job bag.

    Raises:
        Refused: `quote-not-open`, `change-decided`, or `set-up-charged`.
    """
    quote, change = _proposed(change)
    if is_set_up_charged_since(change):
        detail = f"Change {change.number} was priced before other extra work got as far in."
        raise Refused("set-up-charged", detail)
    change.decided_by_name = approved_by_name
    _decided(change, ChangeStatus.APPROVED, decided_at)
    _bagged(change, quote, Posted(decided_at, decided_by, quote.bag.name))
    return change


@transaction.atomic
def change_decline(
    *, change: QuoteChange, declined_by_name: str, reason: str, decided_at: datetime
) -> QuoteChange:
    """Record that the client did not agree to extra work.

    Raises:
        Refused: `quote-not-open`, or `change-decided`.
    """
    _, change = _proposed(change)
    change.decided_by_name, change.decision_reason = declined_by_name, reason
    return _decided(change, ChangeStatus.DECLINED, decided_at)


def _approved(quote: Quote) -> Quote:
    quote = quote_lock(quote.pk)
    if quote.status != QuoteStatus.APPROVED:
        detail = f"Quote {quote.pk} is {quote.status}; work is added to an approved one."
        raise Refused("quote-not-open", detail)
    return quote


def _proposed(change: QuoteChange) -> tuple[Quote, QuoteChange]:
    quote = _approved(change.quote)
    change = QuoteChange.objects.select_for_update().get(pk=change.pk)
    if change.status != ChangeStatus.PROPOSED:
        raise Refused("change-decided", f"Change {change.number} is {change.status} already.")
    return quote, change


def _decided(change: QuoteChange, status: ChangeStatus, decided_at: datetime) -> QuoteChange:
    change.status, change.decided_at = status, decided_at
    fields = ["status", "decided_at", "decided_by_name", "decision_reason"]
    change.save(update_fields=fields)
    return change


def _read(draft: ChangeDraft, quote: Quote) -> tuple[Remedy, list[int]]:
    instrument = quote.examination.instrument
    reader = DraftReader(instrument, {"remedy": {draft.remedy}}, draft.naming)
    reader.entry_id("remedy", draft.remedy, "/remedy")
    notes = reader.notes_or_instrument(draft.notes, "/notes")
    reader.refuse()
    remedy = Remedy.objects.select_related("set_up").get(code=draft.remedy)
    return remedy, sorted(note for note in notes if note is not None)


def _priced(quote: Quote, use: RemedyUse, profile: ShopProfile) -> _Priced:
    examination = quote.examination
    pins = pins_stocked(profile.pin_size_scheme)
    portion = portion_of(use, examination=examination, pins=pins, profile=profile)
    book = price_book_on(
        day=made_on(quote),
        profile=profile,
        site=examination.instrument.site,
        part_ids=portion.wanted,
        fee_kinds=(),
        words=words_for(quote.client, profile),
    )
    # The job has its minimum already.
    book = replace(book, minimum=None)
    return _Priced(priced_lines([use], portion.kit, book), book, portion.wanted)


def _use(
    quote: Quote, remedy: Remedy, notes: list[int], agreed: AgreedWork, profile: ShopProfile
) -> RemedyUse:
    compass = compass_of(quote.examination.instrument)
    use = extra_use(remedy, notes, compass, own_minutes=profile.quotes_by_bench_work)
    return replace(use, set_up=further_set_up(use.set_up, agreed.depth, agreed.set_up_minutes))


def _tolerance_left(quote: Quote, agreed: AgreedWork, profile: ShopProfile) -> Decimal:
    return tolerance_left(
        agreed.approved_net,
        agreed.tolerated_net,
        percent=profile.change_tolerance_percent,
        most=profile.change_tolerance_amount,
        decimals=quote.minor_units,
    )


def _stored(change: QuoteChange, priced: _Priced) -> None:
    """Store a change with its totals, lines, taxes and parts, by one statement."""
    book = priced.book
    found = offer_of(priced.lines, book).totals
    totals_set(change, found)
    is_tolerated = change.net_total <= change.tolerance_left
    change.status = ChangeStatus.TOLERATED if is_tolerated else ChangeStatus.PROPOSED
    row = Rows(QuoteChange, [columns_of(change)])
    below = {"change_id": row}
    lines = numbered(map(line_row, priced.lines))
    taxes = [tax_row(tax, book.exemption_reasons) for tax in found.taxes]
    (change.pk,), *_ = rows_insert(
        row,
        Rows(QuoteChangeLine, lines, below),
        Rows(QuoteChangeTax, taxes, below),
        Rows(QuoteChangePart, [_part(*item) for item in sorted(priced.wanted.items())], below),
    )


def _part(part_id: int, wanted: Decimal) -> dict[str, Any]:
    return {"part_id": part_id, "wanted_quantity": wanted}


def _bagged(change: QuoteChange, quote: Quote, posted: Posted) -> None:
    """Let the job bag want what an agreed change does, and fill it as far as stock goes."""
    parts = change.parts.values_list("part", "wanted_quantity")
    wanted = dict(quote.bag_lines.values_list("part", "wanted_quantity"))
    for part_id, quantity in parts:
        wanted[part_id] = wanted.get(part_id, NOTHING) + quantity
    if parts:
        bag_fill(quote, wanted, posted)
