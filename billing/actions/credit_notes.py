"""Taking an invoice back, in whole or in part."""

from collections.abc import Mapping
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django.db import transaction

from billing.actions.allocations import invoice_release
from billing.actions.book_entries import Recorded, money_lock
from billing.actions.documents import Columns, columns, invoice_store
from billing.actions.invoice_rows import ALLOWANCE_COLUMNS, LINE_COLUMNS, STANDS_ALONE, UNDISCOUNTED
from billing.actions.invoices import invoice_issue, invoice_lock
from billing.models import Invoice, InvoiceKind, InvoiceStatus
from billing.queries.invoiced import allowances_creditable, lines_creditable, taxes_left
from billing.queries.invoices import invoices
from billing.rules.crediting import Credit, Creditable, credit
from billing.rules.totals import Totals
from shop.errors import FieldError, Refused
from shop.models import User
from shop.rules.money import rounded

NOTHING = Decimal(0)


@transaction.atomic
def invoice_credit(
    *,
    invoice: Invoice,
    reason: str,
    wanted: Mapping[int, Decimal] | None = None,
    drafted_at: datetime,
    drafted_by: User,
) -> Invoice:
    """Return a draft credit note over net amounts by line position, or over all that is left.

    Raises:
        Refused: `invoice-not-issued`, `credit-of-credit`, `credit-beyond-left`, or `line-unknown`.
    """
    invoice = invoice_lock(invoice.pk)
    if invoice.status != InvoiceStatus.ISSUED:
        raise Refused("invoice-not-issued", "A draft is thrown away rather than credited.")
    if invoice.kind == InvoiceKind.CREDIT_NOTE:
        raise Refused("credit-of-credit", "A credit note is not credited; invoice the work anew.")
    lines, allowances = lines_creditable(invoice), allowances_creditable(invoice)
    by_position = {row.position: line for row, line in lines.items()}
    amounts = _wanted(invoice, by_position, wanted)
    reasons, left = taxes_left(invoice)
    taken = credit(
        list(lines.values()), list(allowances.values()), left, amounts, invoice.minor_units
    )
    draft = Invoice(
        kind=InvoiceKind.CREDIT_NOTE,
        corrects=invoice,
        reason=reason,
        client_id=invoice.client_id,
        drafted_at=drafted_at,
        drafted_by=drafted_by,
        currency=invoice.currency,
        minor_units=invoice.minor_units,
    )
    line_rows = [_line(row, taken.lines[row.pk]) for row in lines if row.pk in taken.lines]
    allowance_rows = [
        _allowance(row, taken.allowances[row.pk])
        for row in allowances
        if row.pk in taken.allowances
    ]
    found = _totals(invoice, taken, line_rows, allowance_rows)
    if found.payable < 0 or any(tax.taxable < 0 for tax in found.taxes):
        raise Refused(
            "credit-beyond-left",
            "What would be credited comes to less than nothing, since a deposit is taken off;"
            " credit the deposit invoice instead.",
        )
    return invoice_store(draft, found, line_rows, allowance_rows, reasons)


def _wanted(
    invoice: Invoice, lines: Mapping[int, Creditable], wanted: Mapping[int, Decimal] | None
) -> dict[int, Decimal]:
    """Return what to credit of each line by its key, or refuse what is not there."""
    if wanted is None:
        wanted = {position: line.left for position, line in lines.items() if line.left}
    errors = []
    for index, (position, amount) in enumerate(wanted.items()):
        line = lines.get(position)
        if line is None:
            detail = f"Invoice {invoice.number} has no line {position}."
            errors.append(FieldError(f"/lines/{index}/position", "line-unknown", detail))
        elif not _fits(amount, line.left):
            left = f"{rounded(line.left, invoice.minor_units):f} {invoice.currency}"
            detail = f"Of line {position} {left} can still be credited."
            errors.append(FieldError(f"/lines/{index}/net_amount", "credit-beyond-left", detail))
    if errors:
        raise Refused(errors[0].code, errors[0].detail, tuple(errors))
    if not any(wanted.values()):
        raise Refused("credit-beyond-left", f"All of invoice {invoice.number} is credited.")
    return {lines[position].row_id: amount for position, amount in wanted.items()}


def _fits(amount: Decimal, left: Decimal) -> bool:
    return min(left, NOTHING) <= amount <= max(left, NOTHING)


def _line(row: Any, amount: Decimal) -> Columns:
    line = columns(row, LINE_COLUMNS) | STANDS_ALONE | {"credits_id": row.pk}
    if amount == row.net_amount:
        return line
    part = {"net_amount": amount, "unit_price": abs(amount), **UNDISCOUNTED}
    return line | part | {"quantity": Decimal(-1 if amount < 0 else 1), "unit": "piece"}


def _allowance(row: Any, amount: Decimal) -> Columns:
    allowance = columns(row, ALLOWANCE_COLUMNS) | {"credits_id": row.pk, "amount": abs(amount)}
    if abs(amount) != row.amount:
        allowance |= {"percent": None, "base_amount": None}
    return allowance


def _totals(
    invoice: Invoice, taken: Credit, lines: list[Columns], allowances: list[Columns]
) -> Totals:
    """Return the credit note's totals; the one that takes back the rest takes the rounding too."""
    of_lines = sum((line["net_amount"] for line in lines), NOTHING)
    allowed = sum((row["amount"] for row in allowances if not row["is_charge"]), NOTHING)
    charged = sum((row["amount"] for row in allowances if row["is_charge"]), NOTHING)
    net = of_lines - allowed + charged
    tax = sum((each.tax for each in taken.taxes), NOTHING)
    notes = list(invoice.credit_notes.all())
    credited = sum((note.gross_total for note in notes), net + tax)
    left = invoice.payable_total - sum((note.payable_total for note in notes), NOTHING)
    payable = left if credited == invoice.gross_total else min(net + tax, left)
    return Totals(
        lines=of_lines,
        allowances=allowed,
        charges=charged,
        net=net,
        tax=tax,
        gross=net + tax,
        rounding=payable - net - tax,
        payable=payable,
        taxes=taken.taxes,
    )


@transaction.atomic
def credit_note_issue(*, note: Invoice, issued_on: date, recorded: Recorded) -> Invoice:
    """Issue a draft credit note and return it.

    It lowers what is due on the invoice that it corrects; what of that was settled already is set
    free first, so that what was paid becomes the client's credit.

    Raises:
        Refused: see `invoice_issue`.
    """
    money_lock([note.client_id])
    now = invoices().in_bulk([note.pk, note.corrects_id])
    corrected = now[note.corrects_id]
    beyond = note.payable_total - corrected.due_total
    if beyond > 0 and now[note.pk].status == InvoiceStatus.DRAFT:
        invoice_release(corrected, beyond, note.reason, issued_on, recorded)
    return invoice_issue(invoice=note, issued_on=issued_on)
