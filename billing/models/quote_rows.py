"""The lines, allowances, taxes and bag lines of quotes.

All are stored with the quote; later, bag lines alone are added to, for options that are taken.
"""

from typing import ClassVar

import pgtrigger
from django.db import models
from django.db.models import F, Q

from billing.models.all_at_once import all_at_once
from billing.models.documents import DocumentAllowance, DocumentLine, DocumentTax
from billing.models.quote_options import QuoteOption
from billing.models.quotes import Quote
from diagnostics.models import Remedy
from shop.models import Part
from shop.models.guards import Guard, append_only, no_truncate


class QuotedLine(DocumentLine):
    """A line with the minutes it rests on; `note_count` says on how many notes."""

    remedy = models.ForeignKey(Remedy, on_delete=models.PROTECT, related_name="+", null=True)
    part = models.ForeignKey(Part, on_delete=models.PROTECT, related_name="+", null=True)
    note_count = models.PositiveSmallIntegerField(default=0)
    minutes_low = models.DecimalField(max_digits=8, decimal_places=1, default=0)
    minutes_likely = models.DecimalField(max_digits=8, decimal_places=1, default=0)
    minutes_high = models.DecimalField(max_digits=8, decimal_places=1, default=0)

    class Meta(DocumentLine.Meta):
        abstract = True


class QuoteLine(QuotedLine):
    """A line of a quote.

    A line of an `option` is charged when that is taken, and is no part of the quote's own totals.
    """

    # Its index is that of the unique constraint below.
    quote = models.ForeignKey(Quote, on_delete=models.PROTECT, related_name="lines", db_index=False)
    option = models.ForeignKey(
        QuoteOption,
        on_delete=models.PROTECT,
        related_name="lines",
        db_index=False,
        null=True,
        blank=True,
    )

    class Meta(QuotedLine.Meta):
        abstract = False
        constraints: ClassVar = [
            *DocumentLine.Meta.constraints,
            models.UniqueConstraint(
                name="billing_quoteline_position_once",
                fields=["quote", "position"],
                violation_error_code="position-taken",
                violation_error_message="A quote has one line at a position.",
            ),
        ]
        triggers: ClassVar = [
            *append_only("billing_quoteline", "Quote lines"),
            all_at_once("billing_quoteline", "A quote keeps the lines it was made with."),
            Guard(
                name="billing_quoteline_option_of_quote",
                code="other-quote",
                message="A line's option is one of the same quote.",
                operation=pgtrigger.Insert,
                condition=pgtrigger.Q(new__option__isnull=False),
                refuse_when=(
                    "NEW.quote_id IS DISTINCT FROM"
                    " (SELECT quote_id FROM billing_quoteoption WHERE id = NEW.option_id)"
                ),
            ),
        ]


class QuoteAllowance(DocumentAllowance):
    """An allowance or charge on a whole quote."""

    # Its index is that of the unique constraint below.
    quote = models.ForeignKey(
        Quote, on_delete=models.PROTECT, related_name="allowances", db_index=False
    )

    class Meta(DocumentAllowance.Meta):
        constraints: ClassVar = [
            *DocumentAllowance.Meta.constraints,
            models.UniqueConstraint(
                name="billing_quoteallowance_position_once",
                fields=["quote", "position"],
                violation_error_code="position-taken",
                violation_error_message="A quote has one allowance or charge at a position.",
            ),
        ]
        triggers: ClassVar = [
            *append_only("billing_quoteallowance", "Quote allowances"),
            all_at_once("billing_quoteallowance", "A quote keeps the allowances it was made with."),
        ]


class QuoteTax(DocumentTax):
    """The tax of one rate on a quote."""

    # Its index is that of the unique constraint below.
    quote = models.ForeignKey(Quote, on_delete=models.PROTECT, related_name="taxes", db_index=False)

    class Meta(DocumentTax.Meta):
        constraints: ClassVar = [
            *DocumentTax.Meta.constraints,
            models.UniqueConstraint(
                name="billing_quotetax_rate_once",
                fields=["quote", "tax_code", "tax_percent"],
                violation_error_code="rate-taken",
                violation_error_message="A quote sums up each tax once.",
            ),
        ]
        triggers: ClassVar = [
            *append_only("billing_quotetax", "Quote taxes"),
            all_at_once("billing_quotetax", "A quote keeps the taxes it was made with."),
        ]


# What the bag of NEW line's quote holds of the part, nothing once the quote is closed.
IN_OPEN_BAG = """(
    SELECT level.quantity FROM billing_quote AS quote
    JOIN shop_level AS level ON level.place_id = quote.bag_id AND level.part_id = NEW.part_id
    WHERE quote.id = NEW.quote_id AND quote.status IN ('offered', 'approved')
)"""


class BagLine(models.Model):
    """What the job bag should hold of a part, and what it holds, or held when the quote closed.

    It is to hold more when the client takes options, or extra work is agreed.
    """

    # Its index is that of the unique constraint below.
    quote = models.ForeignKey(
        Quote, on_delete=models.PROTECT, related_name="bag_lines", db_index=False
    )
    part = models.ForeignKey(Part, on_delete=models.PROTECT, related_name="bag_lines")
    wanted_quantity = models.DecimalField(max_digits=14, decimal_places=3)
    taken_quantity = models.DecimalField(max_digits=14, decimal_places=3)

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(
                name="billing_bagline_part_once",
                fields=["quote", "part"],
                violation_error_code="part-named-twice",
                violation_error_message="A job bag names each part once.",
            ),
            models.CheckConstraint(
                name="billing_bagline_taken_within_wanted",
                condition=Q(
                    wanted_quantity__gt=0,
                    taken_quantity__gte=0,
                    taken_quantity__lte=F("wanted_quantity"),
                ),
                violation_error_code="taken-beyond-wanted",
                violation_error_message="A bag takes no more of a part than the work wants.",
            ),
        ]
        triggers: ClassVar = [
            Guard(
                name="billing_bagline_wanted_kept",
                code="promise-fixed",
                message="What a job bag should hold never shrinks; revise the quote instead.",
                operation=pgtrigger.Update,
                refuse_when=(
                    "(OLD.quote_id, OLD.part_id) IS DISTINCT FROM (NEW.quote_id, NEW.part_id)"
                    " OR NEW.wanted_quantity < OLD.wanted_quantity"
                ),
            ),
            Guard(
                name="billing_bagline_taken_in_bag",
                code="taken-not-in-bag",
                message="A bag line says what the bag of an open quote holds; move the part first.",
                operation=pgtrigger.UpdateOf("taken_quantity"),
                refuse_when=(
                    "OLD.taken_quantity <> NEW.taken_quantity"
                    f" AND NEW.taken_quantity IS DISTINCT FROM {IN_OPEN_BAG}"
                ),
            ),
            Guard(
                name="billing_bagline_kept",
                code="promise-fixed",
                message="A quote keeps the bag lines it was made with.",
                operation=pgtrigger.Delete,
            ),
            no_truncate("billing_bagline", "A quote keeps the bag lines it was made with."),
        ]

    def __str__(self) -> str:
        return f"{self.taken_quantity} of {self.wanted_quantity}"
