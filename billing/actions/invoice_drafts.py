"""Drafting invoices of a quote: a deposit, a part, and what is left when the work is done."""

from collections.abc import Collection
from datetime import datetime
from decimal import Decimal
from typing import Any

from django.db import transaction

from billing.actions.documents import Columns, columns, invoice_store, rows_totals
from billing.actions.invoice_rows import (
    ALLOWANCE_COLUMNS,
    change_rows,
    deposit_rows,
    less_deposit_row,
    quote_row,
)
from billing.actions.quotes import quote_lock
from billing.models import Invoice, InvoiceKind, Quote, QuoteChangeTax, QuoteStatus
from billing.queries.invoiced import (
    agreed_changes,
    agreed_total,
    deposits_left,
    invoiced_lines,
    invoiced_total,
    open_draft,
)
from billing.queries.quotes import agreed, agreed_lines, deposit_of
from billing.rules.allowances import percentage
from billing.rules.totals import TaxKey, Totals
from shop.errors import FieldError, Refused
from shop.models import ShopProfile, User
from shop.queries.words import words_for
from shop.rules.money import rounded

BILLABLE = [QuoteStatus.APPROVED, QuoteStatus.COMPLETED]


@transaction.atomic
def invoice_draft(*, quote: Quote, drafted_at: datetime, drafted_by: User) -> Invoice:
    """Return a draft of all that a completed quote promised and no invoice demanded yet.

    Extra work that was agreed is on it too. Deposits that were invoiced are taken off, tax rate by
    tax rate.

    Raises:
        Refused: `quote-not-completed`, `already-invoiced`, or `deposit-beyond-rest`.
    """
    quote = quote_lock(quote.pk)
    if quote.status != QuoteStatus.COMPLETED:
        raise Refused("quote-not-completed", f"Quote {quote.pk} is {quote.status}; complete it.")
    _refuse_drafted(quote)
    profile = ShopProfile.objects.get()
    invoiced, less_deposits = invoiced_lines(quote), _less_deposits(quote, profile)
    lines = [quote_row(line) for line in agreed_lines(quote) if line.pk not in invoiced]
    lines += change_rows(quote)
    if not lines:
        raise Refused("already-invoiced", f"All lines of quote {quote.pk} are on an invoice.")
    lines += less_deposits
    allowances = _allowances(quote)
    found = rows_totals(lines, allowances, quote.minor_units, profile)
    if _is_below_nothing(found):
        raise Refused(
            "deposit-beyond-rest",
            "The deposits of a tax rate are more than what is left to invoice at it; credit the"
            " deposit invoice first, in part or in whole.",
        )
    promised = _promised(quote, found)
    found = rows_totals(lines, allowances, quote.minor_units, profile, promised)
    kind = InvoiceKind.FINAL if invoiced or less_deposits else InvoiceKind.INVOICE
    draft = _new(quote, kind, drafted_at, drafted_by)
    return invoice_store(draft, found, lines, allowances, _exemption_reasons(quote))


def _promised(quote: Quote, found: Totals) -> Decimal | None:
    """Return what brings the sum over all invoices to the quote's, if only rounding is between."""
    rest = agreed_total(quote) - invoiced_total(quote)
    coin = Decimal(1).scaleb(-quote.minor_units)
    documents = 1 + quote.invoices.count() + agreed_changes(quote).count()
    is_rounding = abs(rest - found.gross) <= coin * documents * len(found.taxes)
    return rest if is_rounding and rest >= 0 else None


@transaction.atomic
def invoice_part_draft(
    *, quote: Quote, positions: Collection[int], drafted_at: datetime, drafted_by: User
) -> Invoice:
    """Return a draft of some lines of an approved or completed quote, by their positions.

    The allowances and charges of the whole quote stand on its last invoice, and deposits come off
    it, so that lines enough to bear them are left for it.

    Raises:
        Refused: `quote-not-open`, `line-unknown`, `already-invoiced`, `allowance-beyond-lines`, or
            `deposit-beyond-rest`.
    """
    quote = _billable(quote)
    by_position = {line.position: line for line in agreed_lines(quote)}
    invoiced = invoiced_lines(quote)
    _refuse_lines(quote, positions, by_position, invoiced)
    left = [
        quote_row(line)
        for position, line in by_position.items()
        if position not in positions and line.pk not in invoiced
    ]
    profile = ShopProfile.objects.get()
    _refuse_unborne(quote, [*left, *change_rows(quote)], profile)
    lines = [quote_row(by_position[position]) for position in sorted(set(positions))]
    draft = _new(quote, InvoiceKind.PART, drafted_at, drafted_by)
    found = rows_totals(lines, [], quote.minor_units, profile)
    return invoice_store(draft, found, lines, exemption_reasons=_exemption_reasons(quote))


def _refuse_unborne(quote: Quote, left: list[Columns], profile: ShopProfile) -> None:
    """Refuse to leave less of a tax rate than allowances and deposits take off at the end."""
    allowances = _allowances(quote)
    if _is_below_nothing(rows_totals(left, allowances, quote.minor_units, profile)):
        raise Refused(
            "allowance-beyond-lines",
            "What is taken off the whole quote stands on its last invoice; leave lines for it that"
            " come to more.",
        )
    left = [*left, *_less_deposits(quote, profile)]
    if _is_below_nothing(rows_totals(left, allowances, quote.minor_units, profile)):
        raise Refused(
            "deposit-beyond-rest",
            "Deposits come off the last invoice; leave lines for it that come to more, or credit"
            " the deposit invoice first.",
        )


def _allowances(quote: Quote) -> list[Columns]:
    rows = quote.allowances.all()
    return [columns(row, ALLOWANCE_COLUMNS) | {"credits_id": None} for row in rows]


def _less_deposits(quote: Quote, profile: ShopProfile) -> list[Columns]:
    words = words_for(quote.client, profile)
    return [less_deposit_row(line, left, words) for line, left in deposits_left(quote)]


def _is_below_nothing(found: Totals) -> bool:
    return any(tax.taxable < 0 for tax in found.taxes)


def _refuse_lines(
    quote: Quote, positions: Collection[int], known: dict[int, Any], invoiced: set[int]
) -> None:
    errors = []
    for index, position in enumerate(positions):
        if position not in known:
            detail = f"Quote {quote.pk} has no line {position}."
            errors.append(FieldError(f"/lines/{index}", "line-unknown", detail))
        elif known[position].pk in invoiced:
            detail = f"Line {position} is on an invoice already."
            errors.append(FieldError(f"/lines/{index}", "already-invoiced", detail))
    if errors:
        raise Refused(errors[0].code, errors[0].detail, tuple(errors))


@transaction.atomic
def invoice_deposit_draft(
    *,
    quote: Quote,
    drafted_at: datetime,
    drafted_by: User,
    percent: Decimal | None = None,
    amount: Decimal | None = None,
) -> Invoice:
    """Return a draft of a deposit, with tax, on an approved quote.

    It is `amount`, or `percent` of what was agreed, or what is left of the deposit that the quote
    asks for; and is shared out over the quote's tax rates by what they come to, tax included.

    Raises:
        Refused: `quote-not-open`, `already-invoiced`, `no-deposit-asked`, or `deposit-beyond-rest`.
    """
    quote = _billable(quote)
    invoiced, agreed_to = invoiced_total(quote), agreed(quote)
    rest = agreed_total(quote) - invoiced
    if percent is not None:
        amount = percentage(agreed_to.payable_total, percent, quote.minor_units)
    elif amount is None:
        amount = deposit_of(quote, agreed_to) - invoiced
    if amount <= 0:
        detail = f"Quote {quote.pk} asks for no deposit, or for none beyond what is invoiced."
        raise Refused("no-deposit-asked", detail)
    if amount > rest:
        left = f"{rounded(rest, quote.minor_units):f} {quote.currency}"
        detail = f"{left} of quote {quote.pk} are not invoiced yet; a deposit is at most that."
        error = FieldError("/amount", "deposit-beyond-rest", detail)
        raise Refused("deposit-beyond-rest", detail, (error,))
    profile = ShopProfile.objects.get()
    lines = deposit_rows(quote, amount, words_for(quote.client, profile))
    draft = _new(quote, InvoiceKind.DEPOSIT, drafted_at, drafted_by)
    found = rows_totals(lines, [], quote.minor_units, profile, promised=amount)
    return invoice_store(draft, found, lines, exemption_reasons=_exemption_reasons(quote))


def _billable(quote: Quote) -> Quote:
    quote = quote_lock(quote.pk)
    if quote.status not in BILLABLE:
        detail = f"Quote {quote.pk} is {quote.status}; the client approves it first."
        raise Refused("quote-not-open", detail)
    _refuse_drafted(quote)
    return quote


def _refuse_drafted(quote: Quote) -> None:
    draft = open_draft(quote)
    if draft:
        detail = f"Draft invoice {draft.pk} of this quote is open; issue it or throw it away."
        raise Refused("already-invoiced", detail)


def _new(quote: Quote, kind: InvoiceKind, drafted_at: datetime, drafted_by: User) -> Invoice:
    return Invoice(
        kind=kind,
        quote=quote,
        client_id=quote.client_id,
        drafted_at=drafted_at,
        drafted_by=drafted_by,
        currency=quote.currency,
        minor_units=quote.minor_units,
    )


def _exemption_reasons(quote: Quote) -> dict[TaxKey, str]:
    added = QuoteChangeTax.objects.filter(change__in=agreed_changes(quote))
    return {
        TaxKey(tax.tax_code, tax.tax_percent): tax.exemption_reason
        for tax in [*agreed(quote).taxes.all(), *added]
    }
