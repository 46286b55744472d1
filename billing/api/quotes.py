"""Quotes: made of an examination, approved or not, worked on, completed, invoiced."""

from typing import Any

import django_filters
from django.db.models import QuerySet
from django.utils import timezone
from rest_framework import serializers
from rest_framework.response import Response
from rest_framework.reverse import reverse

from billing.actions.invoice_drafts import (
    invoice_deposit_draft,
    invoice_draft,
    invoice_part_draft,
)
from billing.actions.quotes import (
    quote_approve,
    quote_complete,
    quote_decline,
    quote_withdraw,
    quote_work_record,
)
from billing.api.documents import AmountOrPercentInput
from billing.api.invoices import InvoiceOutput
from billing.api.quote_outputs import QuoteOutput, QuoteSummaryOutput
from billing.models import Invoice, Quote, QuoteStatus
from billing.queries.invoices import invoices_in_full
from billing.queries.quotes import quotes, quotes_in_full
from diagnostics.actions.bench_work import BenchWorkDraft
from diagnostics.models import BenchWork, WorkResult
from diagnostics.rules.note_names import Naming
from shop.http.amounts import QuantityField
from shop.http.filters import IdFilter, Order
from shop.http.permissions import EVERYONE, OFFICE, grants
from shop.http.records import Listed, Retrieved
from shop.http.serializers import RowSerializer, StrictSerializer, TextField
from shop.http.verbs import verb
from shop.http.views import ShopViewSet


class DepositInvoiceInput(AmountOrPercentInput):
    """How much of the quote, with tax, is asked for beforehand: else what the quote says."""

    def validate(self, attrs: Any) -> Any:
        """Return what is given, which may be nothing.

        Raises:
            ValidationError: both are.
        """
        return super().validate(attrs) if attrs else attrs


class PartInvoiceInput(StrictSerializer):
    """Which lines of the quote, by position."""

    lines = serializers.ListField(
        child=serializers.IntegerField(min_value=1, max_value=32767), min_length=1, max_length=1000
    )


class QuoteApproveInput(StrictSerializer):
    """Who said yes."""

    approved_by = TextField(max_length=200)
    options = serializers.ListField(
        child=serializers.IntegerField(min_value=1, max_value=32767),
        max_length=100,
        required=False,
        help_text="Positions of the options taken; those taken by default when left out.",
    )


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


class QuoteViewSet(Listed, Retrieved, ShopViewSet):
    """Quotes, and what becomes of them."""

    model = Quote
    roles = grants(
        read=EVERYONE, write=EVERYONE, invoice=OFFICE, deposit_invoice=OFFICE, part_invoice=OFFICE
    )
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
        """Record that the client agreed, and to which options; quotes beside it are withdrawn."""
        quote, values = self.found(), self.checked()
        quote_approve(
            quote=quote,
            approved_by_name=values["approved_by"],
            options=values.get("options"),
            decided_at=timezone.now(),
            decided_on=timezone.localdate(),
            decided_by=self.user,
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
        """Draft the invoice of what a completed quote promised and no invoice demanded yet."""
        return self._drafted(
            invoice_draft(quote=self.found(), drafted_at=timezone.now(), drafted_by=self.user)
        )

    @verb(takes=DepositInvoiceInput, gives=InvoiceOutput, gives_status=201)
    def deposit_invoice(self) -> Response:
        """Draft an invoice of a deposit, which the last invoice of the quote takes off."""
        values = self.checked()
        return self._drafted(
            invoice_deposit_draft(
                quote=self.found(),
                percent=values.get("percent"),
                amount=values.get("amount"),
                drafted_at=timezone.now(),
                drafted_by=self.user,
            )
        )

    @verb(takes=PartInvoiceInput, gives=InvoiceOutput, gives_status=201)
    def part_invoice(self) -> Response:
        """Draft an invoice of some lines of an approved or completed quote."""
        return self._drafted(
            invoice_part_draft(
                quote=self.found(),
                positions=self.checked()["lines"],
                drafted_at=timezone.now(),
                drafted_by=self.user,
            )
        )

    def _drafted(self, invoice: Invoice) -> Response:
        location = reverse("invoice-detail", kwargs={"pk": invoice.pk}, request=self.request)
        return self.created(invoices_in_full().get(pk=invoice.pk), location)
