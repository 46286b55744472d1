"""Quotes, and what their answers read beside them."""

from decimal import Decimal

from django.db.models import Exists, F, OuterRef, Prefetch, Q, QuerySet

from billing.models import AGREED_CHANGES, BagLine, Quote, QuoteAgreement, QuoteLine
from billing.models.documents import Document
from billing.rules.allowances import percentage
from shop.errors import Refused
from shop.models import Place, PlaceKind

# Lines that a client agreed to with the quote.
AGREED = Q(option__isnull=True) | Q(option__agreement__isnull=False)


def quotes() -> QuerySet[Quote]:
    """Return all quotes, newest first; `is_short` says that a bag lacks something."""
    lacking = BagLine.objects.filter(quote=OuterRef("pk"), taken_quantity__lt=F("wanted_quantity"))
    rows = Quote.objects.select_related("client").annotate(is_short=Exists(lacking))
    return rows.order_by("-made_at", "-id")


def quotes_in_full() -> QuerySet[Quote]:
    """Return quotes with all that stands on them and their bags, in eight statements in all."""
    return (
        quotes()
        .select_related("follow_up", "agreement")
        .annotate(next_version_id=F("superseded_by__pk"))
        .prefetch_related(
            Prefetch(
                "lines",
                QuoteLine.objects.select_related("part", "remedy", "option").order_by("position"),
            ),
            "options",
            "agreement__taxes",
            "allowances",
            "taxes",
            Prefetch("bag_lines", BagLine.objects.select_related("part").order_by("part__code")),
        )
    )


def agreed(quote: Quote) -> Quote | QuoteAgreement:
    """Return what the client agreed to: of a quote without options, the quote itself."""
    return QuoteAgreement.objects.filter(quote=quote).first() or quote


def deposit_of(quote: Quote, agreed_to: Document) -> Decimal:
    """Return what is asked for beforehand; a percentage is of all that was agreed to."""
    if quote.deposit_percent is None:
        return quote.deposit_amount
    return percentage(agreed_to.payable_total, quote.deposit_percent, quote.minor_units)


def agreed_lines(quote: Quote) -> QuerySet[QuoteLine]:
    """Return the firm lines of a quote, and those of the options that were taken."""
    return quote.lines.filter(AGREED).order_by("position")


def is_left_out(quote: Quote, remedy_code: str) -> bool:
    """Return whether a remedy was offered and the client did not take it, nor agreed to it since.

    A remedy stands in one option at most, or in the firm part.
    """
    lines = quote.lines.filter(remedy__code=remedy_code, option__isnull=False)
    added = quote.changes.filter(remedy__code=remedy_code, status__in=AGREED_CHANGES)
    return lines.filter(option__agreement=None).exists() and not added.exists()


def default_shelf() -> Place:
    """Return the shelf that parts come from when none is named: the first that is in use.

    Raises:
        Refused: `not-shelf-or-van`, no shelf is in use.
    """
    shelf = Place.objects.filter(kind=PlaceKind.SHELF, is_active=True).order_by("pk").first()
    if shelf is None:
        raise Refused("not-shelf-or-van", "No shelf is in use; say where the parts come from.")
    return shelf
