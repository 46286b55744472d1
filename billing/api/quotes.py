"""Quotes: made of an examination, approved or not, worked on, completed, invoiced."""

from decimal import Decimal
from typing import Any

import django_filters
from django.db.models import QuerySet
from django.utils import timezone
from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers
from rest_framework.response import Response
from rest_framework.reverse import reverse

from billing.actions.invoices import invoice_draft
from billing.actions.quotes import (
    quote_approve,
    quote_complete,
    quote_decline,
    quote_withdraw,
    quote_work_record,
)
from billing.actions.quoting import QuoteTerms, quote_make
from billing.api.documents import TOTALS, DocumentLineOutput, DocumentTaxOutput
from billing.api.invoices import InvoiceOutput
from billing.models import BagLine, FeeKind, Quote, QuoteStatus
from billing.queries.invoices import invoices_in_full
from billing.queries.quotes import cautions_of, default_shelf, quotes, quotes_in_full
from diagnostics.actions.bench_work import BenchWorkDraft
from diagnostics.models import BenchWork, Examination, WorkResult
from diagnostics.rules.note_names import Naming
from shop.http.amounts import AmountField, QuantityField
from shop.http.filters import IdFilter, Order
from shop.http.permissions import EVERYONE, OFFICE, grants
from shop.http.records import Listed, Retrieved
from shop.http.serializers import RowField, RowSerializer, StrictSerializer, TextField
from shop.http.verbs import verb
from shop.http.views import ShopViewSet
from shop.models import Place, PlaceKind

OWN_KINDS = [PlaceKind.SHELF, PlaceKind.VAN]


class QuoteMakeInput(StrictSerializer):
    """How the quote is wanted; all of it may be left out."""

    from_place = RowField(
        queryset=Place.objects.filter(kind__in=OWN_KINDS, is_active=True),
        required=False,
        help_text="The shelf or van that parts come from; the first shelf when left out.",
    )
    fees = serializers.ListField(
        child=serializers.ChoiceField(choices=[FeeKind.TRAVEL, FeeKind.INSPECTION]),
        default=[FeeKind.TRAVEL],
        max_length=2,
    )
    discount_percent = serializers.DecimalField(
        max_digits=5, decimal_places=2, min_value=0, max_value=100, default=Decimal(0)
    )
    replace = serializers.BooleanField(default=False)
    require_stock = serializers.BooleanField(default=False)
    leave_out_undecided = serializers.BooleanField(default=False)
    approve = serializers.BooleanField(default=False)
    approved_by = TextField(max_length=200, default="")


class QuoteApproveInput(StrictSerializer):
    """Who said yes."""

    approved_by = TextField(max_length=200)


class QuoteDeclineInput(StrictSerializer):
    """Who said no, and why."""

    declined_by = TextField(max_length=200, default="")
    reason = TextField(max_length=1000, default="", multiline=True)


class QuoteWithdrawInput(StrictSerializer):
    """Why it is taken back."""

    reason = TextField(max_length=1000, default="", multiline=True)


class FittedInput(StrictSerializer):
    """A part that went in, by its code."""

    part = TextField(max_length=60)
    quantity = QuantityField(min_value=0)


class QuoteWorkInput(StrictSerializer):
    """A remedy done at the bench; `note` is left out for work on the whole instrument."""

    note = TextField(max_length=20, default="")
    naming = serializers.ChoiceField(choices=list(Naming), default=Naming.SCIENTIFIC)
    finding = serializers.IntegerField(min_value=1, required=False, default=None)
    remedy = TextField(max_length=60)
    cause_found = TextField(max_length=60, default="")
    minutes = serializers.DecimalField(max_digits=5, decimal_places=1, min_value=0)
    result = serializers.ChoiceField(choices=WorkResult.choices)
    comment = TextField(max_length=2000, default="", multiline=True)
    fitted = FittedInput(many=True, default=[])


class QuoteWorkOutput(RowSerializer):
    """Bench work as it was recorded."""

    remedy = serializers.CharField(source="remedy.code")

    class Meta:
        model = BenchWork
        fields = (
            *("id", "examination", "note_midi", "finding", "remedy", "minutes", "result"),
            *("comment", "done_at", "done_by"),
        )


class QuoteLineOutput(DocumentLineOutput):
    """A line of a quote, with the minutes it rests on."""

    remedy = serializers.CharField(source="remedy.code", default=None, allow_null=True)
    part = serializers.CharField(source="part.code", default=None, allow_null=True)
    note_count = serializers.IntegerField()
    minutes_low = QuantityField()
    minutes_likely = QuantityField()
    minutes_high = QuantityField()


class BagLineOutput(serializers.Serializer[Any]):
    """What the job bag should hold of a part, what was there to take, and what is short."""

    part = serializers.CharField(source="part.code")
    name = serializers.CharField(source="part.name")
    unit = serializers.CharField(source="part.unit")
    wanted_quantity = QuantityField()
    taken_quantity = QuantityField()
    short_quantity = serializers.SerializerMethodField()

    def get_short_quantity(self, line: BagLine) -> str:
        """Return what the shelf did not have."""
        return QuantityField().to_representation(line.wanted_quantity - line.taken_quantity)


class CautionOutput(serializers.Serializer[Any]):
    """What to take care of, and whom to ask."""

    code = serializers.CharField()
    title = serializers.CharField(source="name")
    text = serializers.CharField()


class QuoteSummaryOutput(RowSerializer):
    """A quote in a list."""

    net_total = AmountField()
    tax_total = AmountField()
    gross_total = AmountField()
    is_short = serializers.BooleanField(help_text="The job bag lacks something.")

    class Meta:
        model = Quote
        fields: tuple[str, ...] = (
            *("id", "examination", "client", "status", "made_at", "made_by", "valid_until"),
            *TOTALS,
            "is_short",
        )


class QuoteOutput(QuoteSummaryOutput):
    """A quote with all it rests on.

    `net_low` and `net_high` are the total before tax if every estimate of time ran low or high.
    """

    net_low = AmountField()
    net_high = AmountField()
    minutes_low = QuantityField()
    minutes_likely = QuantityField()
    minutes_high = QuantityField()
    lines = QuoteLineOutput(many=True)
    taxes = DocumentTaxOutput(many=True)
    bag = serializers.IntegerField(source="bag_id")
    bag_lines = BagLineOutput(many=True)
    cautions = serializers.SerializerMethodField()

    class Meta(QuoteSummaryOutput.Meta):
        fields = (
            *QuoteSummaryOutput.Meta.fields,
            *("net_low", "net_high", "minutes_low", "minutes_likely", "minutes_high"),
            *("lines", "taxes", "bag", "bag_lines", "from_place", "diagnosis", "cautions"),
            *("decided_at", "decided_by_name", "decision_reason", "completed_at"),
        )

    @extend_schema_field(CautionOutput(many=True))
    def get_cautions(self, quote: Quote) -> Any:
        """Return the cautions of the quote's remedies."""
        return CautionOutput(cautions_of(quote), many=True).data


class QuoteFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By examination, client, status, and how long it holds."""

    examination = IdFilter()
    client = IdFilter()
    status = django_filters.MultipleChoiceFilter(choices=QuoteStatus.choices)
    valid_until = django_filters.DateFromToRangeFilter()
    order = Order(fields=["id", "made_at", "valid_until"])

    class Meta:
        model = Quote
        fields = ()


class ExaminationQuoteViewSet(ShopViewSet):
    """The quote of an examination."""

    model = Examination
    roles = grants(write=EVERYONE)
    output = QuoteOutput

    def rows(self) -> QuerySet[Examination]:
        """Return the examinations that can be quoted: all of them."""
        return Examination.objects.all()

    @verb(takes=QuoteMakeInput, gives_status=201)
    def quote(self) -> Response:
        """Price the findings, take the parts into a job bag, and return the quote."""
        values = self.checked()
        approve, approved_by = values.pop("approve"), values.pop("approved_by")
        from_place = values.pop("from_place", None) or default_shelf()
        fees = tuple(values.pop("fees"))
        now, today = timezone.now(), timezone.localdate()
        quote = quote_make(
            examination=self.found(),
            terms=QuoteTerms(from_place=from_place, fees=fees, **values),
            made_at=now,
            made_on=today,
            made_by=self.user,
        )
        if approve:
            name = approved_by or quote.client.name
            quote_approve(quote=quote, approved_by_name=name, decided_at=now, decided_on=today)
        location = reverse("quote-detail", kwargs={"pk": quote.pk}, request=self.request)
        return self.created(quotes_in_full().get(pk=quote.pk), location)


class QuoteViewSet(Listed, Retrieved, ShopViewSet):
    """Quotes, and what becomes of them."""

    model = Quote
    roles = grants(read=EVERYONE, write=EVERYONE, invoice=OFFICE)
    filterset_class = QuoteFilter
    output = QuoteOutput

    def rows(self) -> QuerySet[Quote]:
        """Return the quotes: everybody in the shop may see them."""
        return quotes() if self.pages else quotes_in_full()

    def output_class(self) -> Any:
        """Return the short form for a list."""
        return QuoteSummaryOutput if self.pages else super().output_class()

    @verb(takes=QuoteApproveInput)
    def approve(self) -> Response:
        """Record that the client agreed."""
        quote_approve(
            quote=self.found(),
            approved_by_name=self.checked()["approved_by"],
            decided_at=timezone.now(),
            decided_on=timezone.localdate(),
        )
        return self.shown(self.found())

    @verb(takes=QuoteDeclineInput)
    def decline(self) -> Response:
        """Record that the client said no; the parts go back."""
        values = self.checked()
        quote_decline(
            quote=self.found(),
            reason=values["reason"],
            declined_by_name=values["declined_by"],
            decided_at=timezone.now(),
            decided_by=self.user,
        )
        return self.shown(self.found())

    @verb(takes=QuoteWithdrawInput)
    def withdraw(self) -> Response:
        """Take the quote back; the parts go back."""
        quote_withdraw(
            quote=self.found(),
            reason=self.checked()["reason"],
            decided_at=timezone.now(),
            decided_by=self.user,
        )
        return self.shown(self.found())

    @verb(takes=QuoteWorkInput, gives=QuoteWorkOutput, gives_status=201)
    def bench_work(self) -> Response:
        """Record a remedy done under the quote, and the parts fitted from its bag."""
        quote, values = self.found(), self.checked()
        fitted = tuple((line["part"], line["quantity"]) for line in values.pop("fitted"))
        work = quote_work_record(
            quote=quote,
            draft=BenchWorkDraft(finding_id=values.pop("finding"), fitted=fitted, **values),
            done_at=timezone.now(),
            done_by=self.user,
        )
        return Response(self.representation(work), 201)

    @verb()
    def complete(self) -> Response:
        """Close the job: what was fitted is used, the rest of the bag goes back."""
        quote_complete(quote=self.found(), completed_at=timezone.now(), completed_by=self.user)
        return self.shown(self.found())

    @verb(gives=InvoiceOutput, gives_status=201)
    def invoice(self) -> Response:
        """Draft the invoice of a completed quote."""
        invoice = invoice_draft(quote=self.found(), drafted_at=timezone.now(), drafted_by=self.user)
        location = reverse("invoice-detail", kwargs={"pk": invoice.pk}, request=self.request)
        return self.created(invoices_in_full().get(pk=invoice.pk), location)
