"""The lines, allowances and taxes of invoices."""

from typing import ClassVar

import pgtrigger
from django.db import models

from billing.models.changes import QuoteChangeLine
from billing.models.documents import DocumentAllowance, DocumentLine, DocumentTax
from billing.models.invoices import ISSUED_STAYS, Invoice
from billing.models.quote_rows import QuoteLine
from shop.models.guards import Guard, no_truncate

# What credit notes took back of a line.
CREDITED = """COALESCE((SELECT sum(net_amount) FROM billing_invoiceline AS credit
    WHERE credit.credits_id = line.id), 0)"""


def frozen_once_issued(model: str) -> list[Guard]:
    """Return the guards that freeze rows of an issued invoice."""
    whose = (
        "(CASE WHEN TG_OP <> 'INSERT' THEN OLD.invoice_id END,"
        " CASE WHEN TG_OP <> 'DELETE' THEN NEW.invoice_id END)"
    )
    return [
        Guard(
            name=f"{model}_issued_stays",
            code="invoice-issued",
            message=ISSUED_STAYS,
            operation=pgtrigger.Insert | pgtrigger.Update | pgtrigger.Delete,
            # The invoice is locked, so that no row slips in while somebody issues it.
            before_check=f"PERFORM FROM billing_invoice WHERE id IN {whose} FOR SHARE;",
            refuse_when=(
                f"EXISTS (SELECT FROM billing_invoice WHERE status = 'issued' AND id IN {whose})"
            ),
        ),
        no_truncate(model, ISSUED_STAYS),
    ]


# What a row takes back or charges is counted with the invoices it belongs to locked.
def _within(model: str, column: str, name: str, message: str, limit: str, counted: str) -> Guard:
    return Guard(
        name=f"{model}_{name}",
        code=f"{name.replace('_', '-')}",
        message=message,
        when=pgtrigger.After,
        operation=pgtrigger.Insert | pgtrigger.Update,
        condition=pgtrigger.Q(**{f"new__{column}__isnull": False}),
        declare=[("most", "numeric"), ("counted", "numeric")],
        before_check=f"{limit} {counted}",
        # A deposit that is taken off is less than nothing, so sizes are compared.
        refuse_when="abs(counted) > abs(most)",
    )


def within_credited(model: str, amount: str) -> Guard:
    """Return the guard that credits no more of a row than it demanded."""
    return _within(
        model,
        "credits",
        "credit_within",
        "More is credited of this row than the invoice demanded.",
        f"""SELECT credited.{amount} INTO most FROM {model} AS credited
                JOIN billing_invoice AS invoice ON invoice.id = credited.invoice_id
                WHERE credited.id = NEW.credits_id FOR UPDATE OF invoice;""",
        f"""SELECT sum({amount}) INTO counted FROM {model}
                WHERE credits_id = NEW.credits_id;""",
    )


class InvoiceLine(DocumentLine):
    """A line of an invoice.

    `quote_line` or `change_line` is what it invoices, `credits` the line that a credit note's line
    takes back, and `deducts` the line of a deposit invoice that a final invoice takes off.
    """

    # Its index is that of the unique constraint below.
    invoice = models.ForeignKey(
        Invoice, on_delete=models.CASCADE, related_name="lines", db_index=False
    )
    quote_line = models.ForeignKey(
        QuoteLine, on_delete=models.PROTECT, related_name="invoice_lines", null=True, blank=True
    )
    change_line = models.ForeignKey(
        QuoteChangeLine,
        on_delete=models.PROTECT,
        related_name="invoice_lines",
        null=True,
        blank=True,
    )
    credits = models.ForeignKey(
        "self", on_delete=models.PROTECT, related_name="credited_by", null=True, blank=True
    )
    deducts = models.ForeignKey(
        "self", on_delete=models.PROTECT, related_name="deducted_by", null=True, blank=True
    )

    class Meta(DocumentLine.Meta):
        constraints: ClassVar = [
            *DocumentLine.Meta.constraints,
            models.UniqueConstraint(
                name="billing_invoiceline_position_once",
                fields=["invoice", "position"],
                violation_error_code="position-taken",
                violation_error_message="An invoice has one line at a position.",
            ),
        ]
        triggers: ClassVar = [
            *frozen_once_issued("billing_invoiceline"),
            within_credited("billing_invoiceline", "net_amount"),
            Guard(
                name="billing_invoiceline_invoiced_once",
                code="invoiced-twice",
                message="A line of a quote is invoiced once, and again only when all is credited.",
                when=pgtrigger.After,
                operation=pgtrigger.Insert | pgtrigger.Update,
                condition=pgtrigger.Q(new__quote_line__isnull=False),
                # The quote is locked, so that two invoices cannot both take the line.
                before_check="""
                    PERFORM FROM billing_quoteline AS line
                        JOIN billing_quote AS quote ON quote.id = line.quote_id
                        WHERE line.id = NEW.quote_line_id FOR UPDATE OF quote;
                """,
                refuse_when=(
                    "(SELECT count(*) FROM billing_invoiceline AS line"
                    " WHERE line.quote_line_id = NEW.quote_line_id"
                    f" AND (line.net_amount = 0 OR line.net_amount > {CREDITED})) > 1"
                ),
            ),
            Guard(
                name="billing_invoiceline_agreed",
                code="not-agreed",
                message="What the client did not take of a quote is not invoiced.",
                operation=pgtrigger.Insert | pgtrigger.Update,
                condition=pgtrigger.Q(new__quote_line__isnull=False),
                refuse_when=(
                    "EXISTS (SELECT FROM billing_quoteline AS line"
                    " JOIN billing_quoteoption AS option ON option.id = line.option_id"
                    " WHERE line.id = NEW.quote_line_id AND option.agreement_id IS NULL)"
                ),
            ),
            Guard(
                name="billing_invoiceline_change_once",
                code="invoiced-twice",
                message="A line of a change is invoiced once, and again when all is credited.",
                when=pgtrigger.After,
                operation=pgtrigger.Insert | pgtrigger.Update,
                condition=pgtrigger.Q(new__change_line__isnull=False),
                # The quote is locked, so that two invoices cannot both take the line.
                before_check="""
                    PERFORM FROM billing_quotechangeline AS line
                        JOIN billing_quotechange AS change ON change.id = line.change_id
                        JOIN billing_quote AS quote ON quote.id = change.quote_id
                        WHERE line.id = NEW.change_line_id FOR UPDATE OF quote;
                """,
                refuse_when=(
                    "(SELECT count(*) FROM billing_invoiceline AS line"
                    " WHERE line.change_line_id = NEW.change_line_id"
                    f" AND (line.net_amount = 0 OR line.net_amount > {CREDITED})) > 1"
                ),
            ),
            _within(
                "billing_invoiceline",
                "deducts",
                "deducted_within",
                "More is taken off than the deposit invoice demanded.",
                f"""SELECT line.net_amount - {CREDITED} INTO most FROM billing_invoiceline AS line
                    JOIN billing_invoice AS invoice ON invoice.id = line.invoice_id
                    WHERE line.id = NEW.deducts_id FOR UPDATE OF invoice;""",
                f"""SELECT sum(line.net_amount - {CREDITED}) INTO counted
                    FROM billing_invoiceline AS line WHERE line.deducts_id = NEW.deducts_id;""",
            ),
        ]


class InvoiceAllowance(DocumentAllowance):
    """An allowance or charge on a whole invoice, of which `credits` is what it takes back."""

    # Its index is that of the unique constraint below.
    invoice = models.ForeignKey(
        Invoice, on_delete=models.CASCADE, related_name="allowances", db_index=False
    )
    credits = models.ForeignKey(
        "self", on_delete=models.PROTECT, related_name="credited_by", null=True, blank=True
    )

    class Meta(DocumentAllowance.Meta):
        constraints: ClassVar = [
            *DocumentAllowance.Meta.constraints,
            models.UniqueConstraint(
                name="billing_invoiceallowance_position_once",
                fields=["invoice", "position"],
                violation_error_code="position-taken",
                violation_error_message="An invoice has one allowance or charge at a position.",
            ),
        ]
        triggers: ClassVar = [
            *frozen_once_issued("billing_invoiceallowance"),
            within_credited("billing_invoiceallowance", "amount"),
        ]


class InvoiceTax(DocumentTax):
    """The tax of one rate on an invoice."""

    # Its index is that of the unique constraint below.
    invoice = models.ForeignKey(
        Invoice, on_delete=models.CASCADE, related_name="taxes", db_index=False
    )

    class Meta(DocumentTax.Meta):
        constraints: ClassVar = [
            *DocumentTax.Meta.constraints,
            models.UniqueConstraint(
                name="billing_invoicetax_rate_once",
                fields=["invoice", "tax_code", "tax_percent"],
                violation_error_code="rate-taken",
                violation_error_message="An invoice sums up each tax once.",
            ),
        ]
        triggers: ClassVar = frozen_once_issued("billing_invoicetax")
