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
from billing.models import BagLine, Quote, QuoteAgreement, QuoteOption
from diagnostics.queries.snapshot import cautions_in
from shop.http.amounts import AmountField, QuantityField


class QuoteLineOutput(DocumentLineOutput):
    """A line of a quote, with the minutes it rests on."""

    remedy = serializers.CharField(source="remedy.code", default=None, allow_null=True)
    part = serializers.CharField(source="part.code", default=None, allow_null=True)
    note_count = serializers.IntegerField()
    minutes_low = QuantityField()
    minutes_likely = QuantityField()
    minutes_high = QuantityField()


class QuoteOptionOutput(serializers.Serializer[Any]):
    """What the client may take or leave, at a price that no other option changes."""

    position = serializers.IntegerField()
    title = serializers.CharField()
    is_default = serializers.BooleanField(help_text="Taken unless the client says otherwise.")
    is_taken = serializers.SerializerMethodField()
    net_total = AmountField()
    tax_total = AmountField()
    gross_total = AmountField(help_text="With tax.")
    lines = serializers.SerializerMethodField()

    def get_is_taken(self, option: QuoteOption) -> bool:
        """Return whether the client took it."""
        return option.agreement_id is not None

    @extend_schema_field(QuoteLineOutput(many=True))
    def get_lines(self, option: QuoteOption) -> Any:
        """Return the lines of the option."""
        lines = self.context["lines"]
        return QuoteLineOutput(
            [each for each in lines if each.option_id == option.pk], many=True
        ).data


class QuoteAgreementOutput(DocumentTotalsOutput):
    """What the firm part and the options taken come to together."""

    taxes = DocumentTaxOutput(many=True)

    class Meta:
        model = QuoteAgreement
        fields = (*TOTALS, "taxes")


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
    title = serializers.CharField()
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
    """A quote with all it rests on; its lines and totals are those of the firm part.

    `agreement` is what a quote with options came to when it was approved, else null.
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
    lines = serializers.SerializerMethodField()
    options = serializers.SerializerMethodField()
    agreement = QuoteAgreementOutput(default=None, allow_null=True)
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
                "options",
                "agreement",
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

    @extend_schema_field(QuoteLineOutput(many=True))
    def get_lines(self, quote: Quote) -> Any:
        """Return the lines of the firm part."""
        firm = [line for line in quote.lines.all() if line.option_id is None]
        return QuoteLineOutput(firm, many=True).data

    @extend_schema_field(QuoteOptionOutput(many=True))
    def get_options(self, quote: Quote) -> Any:
        """Return the options, each with its lines."""
        context = {"lines": quote.lines.all()}
        return QuoteOptionOutput(quote.options.all(), many=True, context=context).data

    @extend_schema_field(CautionOutput(many=True))
    def get_cautions(self, quote: Quote) -> Any:
        """Return the cautions of the quote's remedies, which stay as they were."""
        return CautionOutput(cautions_in(quote.diagnosis), many=True).data
