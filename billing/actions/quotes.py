"""What becomes of a quote: approved, declined, withdrawn, expired, superseded, completed."""

from collections.abc import Collection
from datetime import date, datetime
from decimal import Decimal

from django.db import transaction
from django.db.models import Q, Sum

from billing.actions.agreements import agreement_store, bag_fill, bag_wanted, options_chosen
from billing.actions.follow_ups import follow_up_await
from billing.models import OPEN_STATUSES, ChangeStatus, Quote, QuoteStatus
from billing.queries.invoiced import invoiced_total, open_draft
from billing.queries.quotes import is_left_out
from diagnostics.actions.bench_work import BenchWorkDraft, bench_work_record
from diagnostics.models import BenchWork, Examination, FittedPart
from shop.actions.bags import bag_empty, bag_parts
from shop.actions.stock import Posted, holdings_lock
from shop.errors import FieldError, Refused
from shop.models import User


def quote_lock(quote_id: int) -> Quote:
    """Lock a quote until the transaction ends and return it as it now is."""
    (quote,) = quotes_lock(quote_id)
    return quote


def quotes_lock(*quote_ids: int) -> list[Quote]:
    """Lock quotes in the order of their keys and return them in the order in which they came."""
    rows = Quote.objects.select_for_update(of=("self",))
    rows = rows.select_related("bag", "from_place", "client")
    found = {quote.pk: quote for quote in rows.filter(pk__in=quote_ids).order_by("pk")}
    return [found[quote_id] for quote_id in quote_ids]


def refuse_unless_open(quote: Quote, verb: str) -> None:
    """Refuse what only an open quote allows; `verb` says what it cannot be."""
    _refuse_unless(quote, OPEN_STATUSES, verb)


def _refuse_unless(quote: Quote, statuses: list[QuoteStatus], verb: str) -> None:
    if quote.status not in statuses:
        raise Refused("quote-not-open", f"Quote {quote.pk} is {quote.status}; it cannot be {verb}.")


@transaction.atomic
def quote_approve(
    *,
    quote: Quote,
    approved_by_name: str,
    decided_at: datetime,
    decided_on: date,
    decided_by: User | None = None,
    options: Collection[int] | None = None,
) -> Quote:
    """Record that the client agreed, and who said so; the quotes beside it are withdrawn.

    `options` are the positions of those taken, left out for those taken by default; their parts go
    into the bag as far as stock goes. Nobody of the shop decides when the client does so alone.

    Raises:
        Refused: `quote-not-open`, `option-unknown`, or `quote-expired` when its last day has
            passed.
    """
    quote, others = _lock_beside(quote)
    _refuse_unless(quote, [QuoteStatus.OFFERED], "approved")
    if decided_on > quote.valid_until:
        raise Refused(
            "quote-expired",
            f"Quote {quote.pk} was valid until {quote.valid_until}; make a new one.",
        )
    offered = list(quote.options.all())
    taken = options_chosen(offered, options)
    wanted = bag_wanted(quote, taken) if taken else {}
    # One lock over the parts of all bags keeps the order in which everybody locks.
    holdings_lock([*bag_parts(quote.bag, *(other.bag for other in others)), *wanted])
    reason = f"Quote {quote.pk} was approved instead."
    for other in others:
        _closed(other, QuoteStatus.WITHDRAWN, reason, decided_at, decided_by)
    if offered:
        agreement_store(quote, taken)
    if wanted:
        bag_fill(quote, wanted, Posted(decided_at, decided_by, quote.bag.name))
    quote.status = QuoteStatus.APPROVED
    quote.decided_at, quote.decided_on = decided_at, decided_on
    quote.decided_by_name = approved_by_name
    quote.save(update_fields=["status", "decided_at", "decided_on", "decided_by_name"])
    follow_up_await(quote=quote, approved_on=decided_on)
    return quote


def _lock_beside(quote: Quote) -> tuple[Quote, list[Quote]]:
    """Lock a quote and the open ones beside it in the order of their keys, and return them."""
    examination_lock(quote.examination_id)
    beside = Q(examination=quote.examination_id, status__in=OPEN_STATUSES)
    rows = Quote.objects.select_for_update(of=("self",))
    rows = rows.select_related("bag", "from_place", "client")
    locked = {row.pk: row for row in rows.filter(beside | Q(pk=quote.pk)).order_by("pk")}
    return locked.pop(quote.pk), list(locked.values())


def examination_lock(examination_id: int) -> Examination:
    """Lock an examination against other quotes and return it; findings can still be added."""
    rows = Examination.objects.select_for_update(of=("self",), no_key=True)
    return rows.select_related("instrument__site__client").get(pk=examination_id)


@transaction.atomic
def quote_decline(
    *,
    quote: Quote,
    reason: str,
    declined_by_name: str,
    decided_at: datetime,
    decided_by: User | None,
) -> Quote:
    """Record that the client said no, and put the parts back.

    `decided_by` is who of the shop says so; None when the client does by the quote's link.

    Raises:
        Refused: `quote-not-open`.
    """
    quote = quote_lock(quote.pk)
    _refuse_unless(quote, [QuoteStatus.OFFERED], "declined")
    quote.decided_by_name = declined_by_name
    return _closed(quote, QuoteStatus.DECLINED, reason, decided_at, decided_by)


@transaction.atomic
def quote_withdraw(*, quote: Quote, reason: str, decided_at: datetime, decided_by: User) -> Quote:
    """Take an open quote back, and put the parts back.

    Raises:
        Refused: `quote-not-open`, `work-begun` when bench work was recorded under it,
            `change-undecided`, or `already-invoiced` when a deposit or part was and is not
            credited.
    """
    quote = quote_lock(quote.pk)
    refuse_unless_open(quote, "withdrawn")
    _refuse_begun(quote, "complete it instead")
    _refuse_undecided(quote)
    _refuse_invoiced(quote, "withdrawing it")
    return _closed(quote, QuoteStatus.WITHDRAWN, reason, decided_at, decided_by)


@transaction.atomic
def quote_supersede(*, quote: Quote) -> Quote:
    """Close an open quote for its next version, which the caller stores with the same bag.

    Raises:
        Refused: `quote-not-open`, `work-begun`, or `already-invoiced`.
    """
    quote = quote_lock(quote.pk)
    refuse_unless_open(quote, "revised")
    _refuse_begun(quote, "further work is a change to it")
    if quote.changes.exclude(status=ChangeStatus.DECLINED).exists():
        detail = f"Extra work was added to quote {quote.pk}; further work is a change too."
        raise Refused("work-begun", detail)
    _refuse_invoiced(quote, "revising it")
    quote.status = QuoteStatus.SUPERSEDED
    quote.save(update_fields=["status"])
    return quote


def _refuse_begun(quote: Quote, instead: str) -> None:
    if quote.bag.bench_work.exists():
        raise Refused("work-begun", f"Bench work was done under quote {quote.pk}; {instead}.")


def _refuse_undecided(quote: Quote) -> None:
    if quote.changes.filter(status=ChangeStatus.PROPOSED).exists():
        raise Refused("change-undecided", "The client decides on the changes proposed first.")


def _refuse_invoiced(quote: Quote, verb: str) -> None:
    if invoiced_total(quote) or open_draft(quote):
        detail = f"Something of quote {quote.pk} is invoiced; credit that before {verb}."
        raise Refused("already-invoiced", detail)


@transaction.atomic
def quotes_expire(*, today: date, expired_at: datetime) -> list[Quote]:
    """Expire the quotes whose last day has passed, put their parts back, and return them."""
    late = Quote.objects.filter(status=QuoteStatus.OFFERED, valid_until__lt=today)
    rows = late.select_for_update(of=("self",), skip_locked=True)
    quotes = list(rows.select_related("bag", "from_place").order_by("pk"))
    # One lock over the parts of all bags keeps the order in which everybody locks.
    holdings_lock(bag_parts(*(quote.bag for quote in quotes)))
    reason = "Past its last day."
    return [_closed(quote, QuoteStatus.EXPIRED, reason, expired_at, None) for quote in quotes]


def _closed(
    quote: Quote, status: QuoteStatus, reason: str, decided_at: datetime, decided_by: User | None
) -> Quote:
    posted = Posted(decided_at, decided_by, quote.bag.name)
    bag_empty(bag=quote.bag, fitted={}, to_place=quote.from_place, posted=posted)
    quote.status, quote.decision_reason, quote.decided_at = status, reason, decided_at
    quote.save(update_fields=["status", "decision_reason", "decided_at", "decided_by_name"])
    return quote


@transaction.atomic
def quote_work_record(
    *, quote: Quote, draft: BenchWorkDraft, done_at: datetime, done_by: User
) -> BenchWork:
    """Record bench work under an approved quote, with parts out of its bag.

    Raises:
        Refused: `quote-not-open`, `not-agreed`, or `not-in-bag`.
        InvalidInput: the draft names something that there is not.
    """
    quote = quote_lock(quote.pk)
    _refuse_unless(quote, [QuoteStatus.APPROVED], "worked on")
    if is_left_out(quote, draft.remedy):
        detail = f"The client did not take the option of quote {quote.pk} with this remedy."
        error = FieldError("/remedy", "not-agreed", detail)
        raise Refused("not-agreed", detail, (error,))
    return bench_work_record(
        examination=quote.examination, bag=quote.bag, draft=draft, done_at=done_at, done_by=done_by
    )


@transaction.atomic
def quote_complete(*, quote: Quote, completed_at: datetime, completed_by: User) -> Quote:
    """Close a job: what was fitted goes to used, the rest of the bag back to where it came from.

    Raises:
        Refused: `quote-not-open`, `no-bench-work` when no work was recorded, or `change-undecided`.
    """
    quote = quote_lock(quote.pk)
    _refuse_unless(quote, [QuoteStatus.APPROVED], "completed")
    _refuse_undecided(quote)
    if not quote.bag.bench_work.exists():
        raise Refused("no-bench-work", "Record the bench work before completing the job.")
    fitted: dict[int, Decimal] = dict(
        FittedPart.objects.filter(bench_work__bag=quote.bag)
        .values("part")
        .annotate(total=Sum("quantity"))
        .order_by("part")
        .values_list("part", "total")
    )
    posted = Posted(completed_at, completed_by, quote.bag.name)
    bag_empty(bag=quote.bag, fitted=fitted, to_place=quote.from_place, posted=posted)
    quote.status, quote.completed_at = QuoteStatus.COMPLETED, completed_at
    quote.save(update_fields=["status", "completed_at"])
    return quote
