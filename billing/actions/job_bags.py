"""What goes into the job bags of open quotes after they were made, and from one to another."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from django.db import transaction
from django.db.models import Sum

from billing.actions.quotes import quote_lock, quotes_lock, refuse_unless_open
from billing.models import BagLine, Quote
from diagnostics.models import FittedPart
from shop.actions.stock import (
    Posted,
    Posting,
    holdings_lock,
    levels_at,
    moves_post,
    refuse_unless_own,
)
from shop.errors import FieldError, InvalidInput, Refused
from shop.models import MoveReason, Part, Place, User
from shop.rules.quantities import plain

NOTHING = Decimal(0)


@dataclass(frozen=True)
class Given:
    """A quantity of a part that goes from one bag to another, in the part's unit."""

    part: Part
    quantity: Decimal


@transaction.atomic
def quote_top_up(
    *,
    quote: Quote,
    from_place: Place,
    codes: Sequence[str] = (),
    require_stock: bool = False,
    topped_up_at: datetime,
    topped_up_by: User,
) -> Quote:
    """Put what an open quote's bag is short of into it, as far as a shelf or van has it.

    It is all parts, or those with these codes. Return the quote.

    Raises:
        Refused: `quote-not-open`, `not-shelf-or-van`, or `stock-short` (with `require_stock`).
        InvalidInput: the bag wants nothing of a part that is named.
    """
    quote = quote_lock(quote.pk)
    refuse_unless_open(quote, "topped up")
    refuse_unless_own(from_place, "/from_place")
    lines = {line.part_id: line for line in _lines(quote, codes) if _lacking(line)}
    held = holdings_lock(lines)
    levels = levels_at(from_place, lines)
    taken = {part: min(_lacking(lines[part]), levels.get(part, NOTHING)) for part in lines}
    if require_stock:
        _refuse_short(lines.values(), taken, from_place)
    postings = [
        Posting(part, from_place.pk, quote.bag_id, quantity)
        for part, quantity in taken.items()
        if quantity
    ]
    posted = Posted(topped_up_at, topped_up_by, quote.bag.name)
    moves_post(postings=postings, reason=MoveReason.BAGGED, posted=posted, held=held)
    _hold(lines, taken)
    return quote


@transaction.atomic
def quote_parts_give(
    *, quote: Quote, to_quote: Quote, given: Sequence[Given], given_at: datetime, given_by: User
) -> None:
    """Move parts from one open quote's bag to another's, which lacks them; the giver then does.

    Raises:
        InvalidInput: both are the same quote.
        Refused: `quote-not-open`; `not-in-bag`, naming each part of which the bag does not hold
            that much or the work has used it; `taken-beyond-wanted`, naming each part of which the
            other bag does not lack that much.
    """
    if quote.pk == to_quote.pk:
        error = FieldError("/to_quote", "same-quote", "This is the quote that gives.")
        raise InvalidInput("invalid-input", "Parts go from one quote to another.", (error,))
    giver, taker = quotes_lock(quote.pk, to_quote.pk)
    refuse_unless_open(giver, "taken from")
    refuse_unless_open(taker, "added to")
    quantities = {line.part.pk: line.quantity for line in given}
    held = holdings_lock(quantities)
    giving = {line.part_id: line for line in _lines(giver)}
    taking = {line.part_id: line for line in _lines(taker)}
    _refuse_what_is_not_there(given, giver, giving)
    _refuse_what_is_not_lacking(given, taker, taking)
    moves_post(
        postings=[
            Posting(part, giver.bag_id, taker.bag_id, quantity)
            for part, quantity in quantities.items()
        ],
        reason=MoveReason.BAGGED,
        posted=Posted(given_at, given_by, taker.bag.name),
        held=held,
    )
    _hold(giving, {part: -quantity for part, quantity in quantities.items()})
    _hold(taking, quantities)


def _lines(quote: Quote, codes: Sequence[str] = ()) -> list[BagLine]:
    """Return the lines of the quote's bag, by part; those with these codes when some are named."""
    lines = list(quote.bag_lines.select_related("part").order_by("part"))
    if not codes:
        return lines
    known = {line.part.code for line in lines}
    unknown = tuple(
        FieldError(f"/parts/{index}", "part-unknown", f"{quote.bag.name} wants no {code!r}.")
        for index, code in enumerate(codes)
        if code not in known
    )
    if unknown:
        raise InvalidInput("invalid-input", "The job bag wants nothing of a part.", unknown)
    return [line for line in lines if line.part.code in codes]


def _lacking(line: BagLine) -> Decimal:
    return line.wanted_quantity - line.taken_quantity


def _hold(lines: Mapping[int, BagLine], more: Mapping[int, Decimal]) -> None:
    """Store how much more of each part the lines' bags hold now, or less."""
    changed = [lines[part] for part, quantity in more.items() if quantity]
    for line in changed:
        line.taken_quantity += more[line.part_id]
    BagLine.objects.bulk_update(changed, ["taken_quantity"])


def _refuse_short(
    lines: Collection[BagLine], taken: Mapping[int, Decimal], from_place: Place
) -> None:
    short = tuple(
        FieldError(
            "/require_stock",
            "stock-short",
            f"{from_place.name} lacks {plain(_lacking(line) - taken[line.part_id])} of"
            f" {line.part.code}.",
        )
        for line in lines
        if taken[line.part_id] < _lacking(line)
    )
    if short:
        raise Refused(
            "stock-short", f"{from_place.name} does not have all that the bag lacks.", short
        )


def _refuse_what_is_not_there(
    given: Sequence[Given], giver: Quote, giving: Mapping[int, BagLine]
) -> None:
    fitted = FittedPart.objects.filter(bench_work__bag=giver.bag).values_list("part").order_by()
    used = dict(fitted.annotate(total=Sum("quantity")))
    left = {part: line.taken_quantity - used.get(part, NOTHING) for part, line in giving.items()}
    _refuse_beyond(given, left, "not-in-bag", f"{giver.bag.name} holds {{}} that is not fitted.")


def _refuse_what_is_not_lacking(
    given: Sequence[Given], taker: Quote, taking: Mapping[int, BagLine]
) -> None:
    lacking = {part: _lacking(line) for part, line in taking.items()}
    _refuse_beyond(given, lacking, "taken-beyond-wanted", f"{taker.bag.name} lacks {{}}.")


def _refuse_beyond(
    given: Sequence[Given], most: Mapping[int, Decimal], code: str, sentence: str
) -> None:
    """Refuse by `code` each line that goes beyond what there is; the sentence says how much is."""
    beyond = tuple(
        FieldError(
            f"/lines/{index}/quantity",
            code,
            sentence.format(plain(most.get(each.part.pk, NOTHING))),
        )
        for index, each in enumerate(given)
        if each.quantity > most.get(each.part.pk, NOTHING)
    )
    if beyond:
        raise Refused(code, "That much of a part cannot go from bag to bag.", beyond)
