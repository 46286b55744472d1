"""What is answered about quotes."""

from typing import Any

from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from billing.api.documents import (
    TOTALS,
    DocumentAllowanceOutput,
    DocumentLineOutput,
    DocumentTaxOutput,
    DocumentTotalsOutput,
)
from billing.models import BagLine, Quote
from billing.queries.quotes import cautions_of
from shop.http.amounts import AmountField, QuantityField


class QuoteLineOutput(DocumentLineOutput):
    """A line of a quote, with the minutes it rests on."""

    remedy = serializers.CharField(source="remedy.code", default=None, allow_null=True)
    part = serializers.CharField(source="part.code", default=None, allow_null=True)
    note_count = serializers.IntegerField()
    minutes_low = QuantityField()
    minutes_likely = QuantityField()
    minutes_high = QuantityField()


class BagLineOutput(serializers.Serializer[Any]):
    """What the job bag should hold of a part, what it got so far, and what is short."""

    part = serializers.CharField(source="part.code")
    name = serializers.CharField(source="part.name")
    unit = serializers.CharField(source="part.unit")
    wanted_quantity = QuantityField()
    taken_quantity = QuantityField()
    short_quantity = serializers.SerializerMethodField()

    def get_short_quantity(self, line: BagLine) -> str:
        """Return what the bag lacks."""
        return QuantityField().to_representation(line.wanted_quantity - line.taken_quantity)


class CautionOutput(serializers.Serializer[Any]):
    """What to take care of, and whom to ask."""

    code = serializers.CharField()
    title = serializers.CharField(source="name")
    text = serializers.CharField()


class QuoteSummaryOutput(DocumentTotalsOutput):
    """A quote in a list."""

    is_short = serializers.BooleanField(help_text="The job bag lacks something.")

    class Meta:
        model = Quote
        fields: tuple[str, ...] = (
            *("id", "examination", "client", "plan", "version", "supersedes", "status"),
            *("made_at", "made_by", "valid_until"),
            *TOTALS,
            "is_short",
        )


class QuoteOutput(QuoteSummaryOutput):
    """A quote with all it rests on.

    `net_low` and `net_high` are the total before tax if every estimate of time ran low or high.
    """

    deposit_percent = QuantityField(allow_null=True)
    deposit_amount = AmountField(help_text="Asked for beforehand, with tax.")
    superseded_by = serializers.IntegerField(source="next_version_id", allow_null=True)
    net_low = AmountField()
    net_high = AmountField()
    minutes_low = QuantityField()
    minutes_likely = QuantityField()
    minutes_high = QuantityField()
    lines = QuoteLineOutput(many=True)
    allowances = DocumentAllowanceOutput(many=True)
    taxes = DocumentTaxOutput(many=True)
    bag = serializers.IntegerField(source="bag_id")
    bag_lines = BagLineOutput(many=True)
    cautions = serializers.SerializerMethodField()
    follow_up = serializers.IntegerField(source="follow_up.pk", default=None, allow_null=True)
    follow_up_due_on = serializers.DateField(
        source="follow_up.due_on", default=None, allow_null=True
    )

    class Meta(QuoteSummaryOutput.Meta):
        fields = (
            *QuoteSummaryOutput.Meta.fields,
            *("superseded_by", "deposit_percent", "deposit_amount", "terms"),
            *("net_low", "net_high", "minutes_low", "minutes_likely", "minutes_high"),
            *(
                "lines",
                "allowances",
                "taxes",
                "bag",
                "bag_lines",
                "from_place",
                "diagnosis",
                "cautions",
            ),
            *("follow_up", "follow_up_due_on"),
            *("decided_at", "decided_by_name", "decision_reason", "completed_at"),
        )

    @extend_schema_field(CautionOutput(many=True))
    def get_cautions(self, quote: Quote) -> Any:
        """Return the cautions of the quote's remedies."""
        return CautionOutput(cautions_of(quote), many=True).data
