"""The link by which a client opens one quote, without any account.

It is signed, not stored: whoever has it may read the quote and answer it, until the end of the
quote's last day. It names the digest of what was promised, so it never opens anything else, and
it dies with the quote: withdrawing or revising a quote revokes its links.
"""

from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from enum import StrEnum

from django.core.signing import BadSignature, Signer
from django.utils import timezone

from billing.models import Quote, QuoteStatus
from billing.queries.promises import promise_of
from billing.queries.quotes import quotes_in_full
from billing.rules.promises import promise_digest
from shop.errors import Refused

# A purpose of its own, so that nothing else that the project signs opens a quote.
SIGNER = Signer(salt="billing.quote-link", sep=".")
ANSWERED = [QuoteStatus.APPROVED, QuoteStatus.COMPLETED, QuoteStatus.DECLINED]


class LinkState(StrEnum):
    """What a link opens: a quote to be answered or with its answer, or nothing any more."""

    OPEN = "open"
    ANSWERED = "answered"
    EXPIRED = "expired"
    WITHDRAWN = "withdrawn"
    REPLACED = "replaced"
    UNKNOWN = "unknown"

    @property
    def is_shown(self) -> bool:
        """Whether the quote is to be shown."""
        return self in (LinkState.OPEN, LinkState.ANSWERED)


CLOSED = {
    QuoteStatus.EXPIRED: LinkState.EXPIRED,
    QuoteStatus.WITHDRAWN: LinkState.WITHDRAWN,
    QuoteStatus.SUPERSEDED: LinkState.REPLACED,
}


@dataclass(frozen=True)
class QuoteLink:
    """What a link says: which quote, what it promised, and until when it opens it."""

    quote_id: int
    promise_sha256: str
    expires_at: datetime

    @property
    def text(self) -> str:
        """The link's last part, with its signature."""
        expires_s = int(self.expires_at.timestamp())
        return SIGNER.sign(f"{self.quote_id}.{self.promise_sha256}.{expires_s}")


def quote_link(*, quote: Quote, now: datetime) -> QuoteLink:
    """Return the link to an offered quote.

    Raises:
        Refused: `quote-not-open`, or `quote-expired` when its last day has passed.
    """
    if quote.status != QuoteStatus.OFFERED:
        raise Refused("quote-not-open", f"Quote {quote.pk} is {quote.status}; it has its answer.")
    day_after = quote.valid_until + timedelta(days=1)
    expires_at = timezone.make_aware(datetime.combine(day_after, time.min))
    if expires_at <= now:
        raise Refused(
            "quote-expired",
            f"Quote {quote.pk} was valid until {quote.valid_until}; make a new one.",
        )
    return QuoteLink(quote.pk, promise_digest(promise_of(quote.pk)), expires_at)


def quote_link_read(text: str) -> QuoteLink | None:
    """Return what a link says; None when a single character of it was altered."""
    try:
        quote_id, promise_sha256, expires_s = SIGNER.unsign(text).split(".")
    except BadSignature:
        return None
    return QuoteLink(int(quote_id), promise_sha256, datetime.fromtimestamp(int(expires_s), UTC))


def quote_opened(link: QuoteLink | None, *, now: datetime) -> tuple[LinkState, Quote | None]:
    """Return what a link opens at this moment, and its quote, whether that is shown or not."""
    rows = quotes_in_full().select_related("examination__instrument__site")
    quote = link and rows.filter(pk=link.quote_id).first()
    if not (link and quote):
        return LinkState.UNKNOWN, None
    return _state(link, quote, now), quote


def offered_beside(quote: Quote, *, now: datetime) -> list[tuple[Quote, QuoteLink]]:
    """Return the quotes that the client may approve instead of an offered one, with their links."""
    if quote.status != QuoteStatus.OFFERED:
        return []
    others = Quote.objects.filter(
        examination=quote.examination_id,
        status=QuoteStatus.OFFERED,
        valid_until__gte=timezone.localdate(now),
    )
    found = others.exclude(pk=quote.pk).order_by("pk")
    return [(other, quote_link(quote=other, now=now)) for other in found]


def _state(link: QuoteLink, quote: Quote, now: datetime) -> LinkState:
    if quote.status in CLOSED:
        return CLOSED[QuoteStatus(quote.status)]
    if link.expires_at <= now:
        return LinkState.EXPIRED
    if link.promise_sha256 != promise_digest(promise_of(quote.pk)):
        return LinkState.REPLACED
    return LinkState.ANSWERED if quote.status in ANSWERED else LinkState.OPEN
