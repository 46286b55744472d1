"""What of a quote is invoiced, and what of an invoice is credited."""

from decimal import Decimal

from django.db.models import F, Q, QuerySet, Sum
from django.db.models.functions import Coalesce

from billing.models import (
    AGREED_CHANGES,
    Invoice,
    InvoiceAllowance,
    InvoiceKind,
    InvoiceLine,
    InvoiceStatus,
    InvoiceTax,
    Quote,
    QuoteChange,
)
from billing.queries.quotes import agreed
from billing.rules.crediting import Creditable
from billing.rules.totals import TaxKey

NOTHING = Decimal(0)
CREDITED = Coalesce(Sum("credited_by__net_amount"), NOTHING)


def invoiced_lines(quote: Quote) -> set[int]:
    """Return the quote's lines that stand on an invoice and are not wholly credited, by key."""
    rows = InvoiceLine.objects.filter(quote_line__quote=quote)
    return {key for key in _standing(rows).values_list("quote_line", flat=True) if key}


def invoiced_change_lines(quote: Quote) -> set[int]:
    """Return the lines of a quote's changes that stand on an invoice, likewise."""
    rows = InvoiceLine.objects.filter(change_line__change__quote=quote)
    return {key for key in _standing(rows).values_list("change_line", flat=True) if key}


def _standing(rows: QuerySet[InvoiceLine]) -> QuerySet[InvoiceLine]:
    rows = rows.annotate(credited=CREDITED)
    return rows.filter(Q(net_amount=0) | Q(net_amount__gt=F("credited")))


def agreed_changes(quote: Quote) -> QuerySet[QuoteChange]:
    """Return the changes of a quote that are done and invoiced."""
    return quote.changes.filter(status__in=AGREED_CHANGES).order_by("number")


def agreed_total(quote: Quote) -> Decimal:
    """Return what a quote comes to with tax, its agreed changes included."""
    added = agreed_changes(quote).aggregate(total=Sum("payable_total"))["total"]
    return agreed(quote).payable_total + (added or NOTHING)


def deposits_left(quote: Quote) -> list[tuple[InvoiceLine, Decimal]]:
    """Return the lines of issued deposit invoices, and what of each is to be taken off yet."""
    rows = InvoiceLine.objects.filter(
        invoice__quote=quote,
        invoice__kind=InvoiceKind.DEPOSIT,
        invoice__status=InvoiceStatus.ISSUED,
    )
    rows = rows.select_related("invoice").annotate(credited=CREDITED).order_by("pk")
    off = _taken_off(quote)
    left = [(row, row.net_amount - row.credited - off.get(row.pk, NOTHING)) for row in rows]
    return [(row, amount) for row, amount in left if amount > 0]


def _taken_off(quote: Quote) -> dict[int, Decimal]:
    """Return what final invoices took off of each deposit line, credits of them counted back."""
    taken: dict[int, Decimal] = {}
    rows = InvoiceLine.objects.filter(deducts__invoice__quote=quote).annotate(credited=CREDITED)
    for row in rows:
        if row.deducts_id:
            off = row.credited - row.net_amount
            taken[row.deducts_id] = taken.get(row.deducts_id, NOTHING) + off
    return taken


def invoiced_total(quote: Quote) -> Decimal:
    """Return what the quote's invoices demand with tax, less what credit notes took back."""
    rows = _family(quote).aggregate(
        demanded=Sum("payable_total", filter=~Q(kind=InvoiceKind.CREDIT_NOTE)),
        credited=Sum("payable_total", filter=Q(kind=InvoiceKind.CREDIT_NOTE)),
    )
    return (rows["demanded"] or NOTHING) - (rows["credited"] or NOTHING)


def lines_creditable(invoice: Invoice) -> dict[InvoiceLine, Creditable]:
    """Return an invoice's lines, and what credit notes, drafts too, took back of each."""
    rows = invoice.lines.annotate(credited=CREDITED).order_by("position")
    return {row: Creditable(row.pk, _key(row), row.net_amount, row.credited) for row in rows}


def allowances_creditable(invoice: Invoice) -> dict[InvoiceAllowance, Creditable]:
    """Return an invoice's allowances and charges, and what of each was taken back."""
    credited = Coalesce(Sum("credited_by__amount"), NOTHING)
    rows = invoice.allowances.annotate(credited=credited).order_by("position")
    signs = {row: 1 if row.is_charge else -1 for row in rows}
    return {
        row: Creditable(row.pk, _key(row), sign * row.amount, sign * row.credited)
        for row, sign in signs.items()
    }


def taxes_left(invoice: Invoice) -> tuple[dict[TaxKey, str], dict[TaxKey, Decimal]]:
    """Return an invoice's exemption reasons, and the tax that is not credited yet, by rate."""
    taxes = {_key(tax): tax for tax in invoice.taxes.order_by("pk")}
    left = {key: tax.tax_amount for key, tax in taxes.items()}
    for tax in InvoiceTax.objects.filter(invoice__corrects=invoice):
        left[_key(tax)] -= tax.tax_amount
    return {key: tax.exemption_reason for key, tax in taxes.items()}, left


def _key(row: InvoiceLine | InvoiceAllowance | InvoiceTax) -> TaxKey:
    return TaxKey(row.tax_code, row.tax_percent)


def open_draft(quote: Quote) -> Invoice | None:
    """Return the draft invoice of a quote, if there is one."""
    drafts = quote.invoices.filter(status=InvoiceStatus.DRAFT)
    return drafts.exclude(kind=InvoiceKind.CREDIT_NOTE).first()


def _family(quote: Quote) -> QuerySet[Invoice]:
    return Invoice.objects.filter(Q(quote=quote) | Q(corrects__quote=quote))
