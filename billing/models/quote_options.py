"""What a client may take or leave of a quote, and what was agreed of it."""

from typing import ClassVar

import pgtrigger
from django.db import models
from django.db.models import F, Q

from billing.models.all_at_once import all_at_once
from billing.models.documents import Document, DocumentTax, amount_field, totals_tie
from billing.models.quotes import Quote
from shop.models import Part
from shop.models.guards import Guard, append_only, no_truncate

AGREED_LINES = """
    billing_quoteline AS line LEFT JOIN billing_quoteoption AS option ON option.id = line.option_id
        WHERE line.quote_id = document.quote_id
            AND (line.option_id IS NULL OR option.agreement_id = document.id)
"""


class QuoteAgreement(Document):
    """What a quote with options came to once the client had chosen: the firm part and those taken.

    It is to be paid as the client saw it, so that what the tax's own rounding leaves over is in
    `rounding_amount`. A quote without options is agreed to as it stands.
    """

    quote = models.OneToOneField(Quote, on_delete=models.PROTECT, related_name="agreement")

    class Meta:
        constraints: ClassVar = Document.Meta.constraints
        triggers: ClassVar = [
            *append_only("billing_quoteagreement", "Agreements"),
            *totals_tie(
                "billing_quoteagreement",
                "agreement_id",
                lines=AGREED_LINES,
                allowances="billing_quoteallowance WHERE quote_id = document.quote_id",
            ),
            Guard(
                name="billing_quoteagreement_of_approved",
                code="quote-not-open",
                message="An agreement is that of a quote with options that was approved.",
                when=pgtrigger.After,
                timing=pgtrigger.Deferred,
                operation=pgtrigger.Insert,
                refuse_when="""
                    NOT EXISTS (SELECT FROM billing_quote
                        WHERE id = NEW.quote_id AND decided_on IS NOT NULL)
                    OR NOT EXISTS (SELECT FROM billing_quoteoption WHERE quote_id = NEW.quote_id)
                """,
            ),
        ]

    def __str__(self) -> str:
        return f"agreement to quote {self.quote_id}"


class QuoteAgreementTax(DocumentTax):
    """The tax of one rate on what was agreed."""

    # Its index is that of the unique constraint below.
    agreement = models.ForeignKey(
        QuoteAgreement, on_delete=models.PROTECT, related_name="taxes", db_index=False
    )

    class Meta(DocumentTax.Meta):
        constraints: ClassVar = [
            *DocumentTax.Meta.constraints,
            models.UniqueConstraint(
                name="billing_quoteagreementtax_rate_once",
                fields=["agreement", "tax_code", "tax_percent"],
                violation_error_code="rate-taken",
                violation_error_message="An agreement sums up each tax once.",
            ),
        ]
        triggers: ClassVar = [
            *append_only("billing_quoteagreementtax", "Taxes of agreements"),
            all_at_once(
                "billing_quoteagreementtax",
                "An agreement keeps the taxes it was made with.",
                "agreement_id",
            ),
        ]


class QuoteOption(models.Model):
    """Work that the client may take beside the firm part, at a price of its own.

    It costs the same whichever other options are taken, so that what the client ticks adds up; an
    option that opens the instrument further than the firm part pays for the rest of that itself.
    `is_default` says that it is taken unless the client says otherwise, `agreement` that it was.
    """

    # Its index is that of the unique constraint below.
    quote = models.ForeignKey(
        Quote, on_delete=models.PROTECT, related_name="options", db_index=False
    )
    position = models.PositiveSmallIntegerField()
    title = models.CharField(max_length=200)
    is_default = models.BooleanField()
    net_total = amount_field()
    tax_total = amount_field()
    gross_total = amount_field()
    agreement = models.ForeignKey(
        QuoteAgreement, on_delete=models.PROTECT, related_name="options", null=True, blank=True
    )

    class Meta:
        ordering: ClassVar = ["position"]
        constraints: ClassVar = [
            models.UniqueConstraint(
                name="billing_quoteoption_position_once",
                fields=["quote", "position"],
                violation_error_code="position-taken",
                violation_error_message="A quote has one option at a position.",
            ),
            models.CheckConstraint(
                name="billing_quoteoption_titled",
                condition=~Q(title=""),
                violation_error_code="title-missing",
                violation_error_message="An option has a title.",
            ),
            models.CheckConstraint(
                name="billing_quoteoption_totals_add_up",
                condition=Q(
                    net_total__gte=0, tax_total__gte=0, gross_total=F("net_total") + F("tax_total")
                ),
                violation_error_code="totals-differ",
                violation_error_message="An option's total is that without tax and its tax.",
            ),
        ]
        triggers: ClassVar = [
            Guard(
                name="billing_quoteoption_promise_fixed",
                code="promise-fixed",
                message="What a quote promised never changes; an option is taken once.",
                operation=pgtrigger.Update | pgtrigger.Delete,
                refuse_when="""
                    TG_OP = 'DELETE' OR OLD.agreement_id IS NOT NULL
                    OR (OLD.id, OLD.quote_id, OLD.position, OLD.title, OLD.is_default,
                        OLD.net_total, OLD.tax_total, OLD.gross_total)
                    IS DISTINCT FROM (NEW.id, NEW.quote_id, NEW.position, NEW.title, NEW.is_default,
                        NEW.net_total, NEW.tax_total, NEW.gross_total)
                """,
            ),
            Guard(
                name="billing_quoteoption_agreed_counts",
                code="totals-differ",
                message="An option is taken with the agreement to its quote, which counts it.",
                when=pgtrigger.After,
                timing=pgtrigger.Deferred,
                operation=pgtrigger.Insert | pgtrigger.Update,
                condition=pgtrigger.Q(new__agreement__isnull=False),
                refuse_when=f"""
                    NOT EXISTS (SELECT FROM billing_quoteagreement AS document
                        WHERE document.id = NEW.agreement_id AND document.quote_id = NEW.quote_id
                            AND document.line_total = (SELECT sum(net_amount) FROM {AGREED_LINES}))
                """,
            ),
            Guard(
                name="billing_quoteoption_totals_tie",
                code="totals-differ",
                message="An option's total without tax is that of its lines.",
                when=pgtrigger.After,
                timing=pgtrigger.Deferred,
                operation=pgtrigger.Insert,
                refuse_when="""
                    NEW.net_total <> (SELECT COALESCE(sum(net_amount), 0) FROM billing_quoteline
                        WHERE quote_id = NEW.quote_id AND option_id = NEW.id)
                """,
            ),
            all_at_once("billing_quoteoption", "A quote keeps the options it was made with."),
            no_truncate("billing_quoteoption", "Options are kept with their quotes."),
        ]

    def __str__(self) -> str:
        return self.title


class QuoteOptionPart(models.Model):
    """What the job bag gets of a part when an option is taken."""

    # Its index is that of the unique constraint below.
    option = models.ForeignKey(
        QuoteOption, on_delete=models.PROTECT, related_name="parts", db_index=False
    )
    part = models.ForeignKey(Part, on_delete=models.PROTECT, related_name="+")
    quantity = models.DecimalField(max_digits=14, decimal_places=3)

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(
                name="billing_quoteoptionpart_part_once",
                fields=["option", "part"],
                violation_error_code="part-named-twice",
                violation_error_message="An option names each part once.",
            ),
            models.CheckConstraint(
                name="billing_quoteoptionpart_positive",
                condition=Q(quantity__gt=0),
                violation_error_code="quantity-not-positive",
                violation_error_message="An option takes more than nothing of a part.",
            ),
        ]
        triggers: ClassVar = [
            *append_only("billing_quoteoptionpart", "Parts of options"),
            all_at_once(
                "billing_quoteoptionpart",
                "An option keeps the parts it was made with.",
                "option_id",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} of part {self.part_id}"
