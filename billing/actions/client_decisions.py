"""What a client does with a quote by its link: approve it or decline it, once."""

from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from billing.actions.quotes import examination_lock, quote_approve, quote_decline
from billing.models import ClientDecision, Decision, Quote
from billing.models.client_decisions import USER_AGENT_LENGTH
from billing.queries.promises import promise_of
from billing.queries.quote_links import QuoteLink
from billing.rules.promises import promise_digest
from shop.errors import Refused


@dataclass(frozen=True)
class Answer:
    """What a client says: who approves, with which options by position; or why not."""

    decision: Decision
    name: str = ""
    reason: str = ""
    options: frozenset[int] = frozenset()


@dataclass(frozen=True)
class CameFrom:
    """From where an answer came: the caller's address, and what their browser calls itself."""

    address: str | None
    user_agent: str


@transaction.atomic
def client_decision_record(
    *, link: QuoteLink, answer: Answer, came_from: CameFrom, decided_at: datetime, decided_on: date
) -> ClientDecision:
    """Approve or decline the quote of a link, and return the record of who did it to what.

    The same answer again changes nothing and gets the record that there is.

    Raises:
        Refused: `quote-not-open` when it was answered otherwise or no longer stands,
            `quote-expired`, or `promise-differs` when the link was given for something else.
    """
    quote = Quote.objects.get(pk=link.quote_id)
    # Before the quotes of it, as everywhere; only here is a client's decision recorded.
    examination_lock(quote.examination_id)
    earlier = ClientDecision.objects.filter(quote=quote).first()
    if earlier and answer == _answer_of(earlier):
        return earlier
    promise = promise_of(quote.pk)
    if link.promise_sha256 != promise_digest(promise):
        raise Refused("promise-differs", "The link was given for another version of the quote.")
    _decide(quote, answer, decided_at, decided_on)
    return ClientDecision.objects.create(
        quote=quote,
        decision=answer.decision,
        name=answer.name,
        reason=answer.reason,
        decided_at=decided_at,
        address=came_from.address,
        user_agent=came_from.user_agent[:USER_AGENT_LENGTH],
        promise=promise,
        promise_sha256=link.promise_sha256,
    )


def _answer_of(row: ClientDecision) -> Answer:
    taken = row.quote.options.filter(agreement__isnull=False).values_list("position", flat=True)
    return Answer(Decision(row.decision), row.name, row.reason, frozenset(taken))


def _decide(quote: Quote, answer: Answer, decided_at: datetime, decided_on: date) -> None:
    if answer.decision == Decision.APPROVED:
        quote_approve(
            quote=quote,
            approved_by_name=answer.name,
            decided_at=decided_at,
            decided_on=decided_on,
            options=answer.options,
        )
    else:
        quote_decline(
            quote=quote,
            reason=answer.reason,
            declined_by_name=answer.name,
            decided_at=decided_at,
            decided_by=None,
        )
