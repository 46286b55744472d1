"""Invoices: issued, paid, and what is still due."""

from typing import Any

import django_filters
from django.db.models import Q, QuerySet
from django.utils import timezone
from rest_framework import serializers
from rest_framework.response import Response
from rest_framework.reverse import reverse

from billing.actions.book_entries import Recorded
from billing.actions.credit_notes import credit_note_issue, invoice_credit
from billing.actions.invoices import invoice_adjust, invoice_discard, invoice_issue
from billing.actions.payments import invoice_pay
from billing.actions.write_offs import invoice_write_off
from billing.api.allocations import AllocationOutput, WriteOffInput, WriteOffOutput
from billing.api.book_entries import MoneyInput, money_of
from billing.api.documents import (
    TOTALS,
    AmountOrPercentInput,
    DocumentAllowanceOutput,
    DocumentLineOutput,
    DocumentTaxOutput,
    DocumentTotalsOutput,
)
from billing.models import Invoice, InvoiceKind, InvoiceStatus
from billing.queries.e_invoices import e_invoice
from billing.queries.invoices import invoices, invoices_in_full
from billing.rules.allowances import Adjustment
from billing.rules.cii import cross_industry_invoice
from shop.http.amounts import AmountField
from shop.http.files import XMLRenderer, file_response
from shop.http.filters import IdFilter, Order, TrueFalseFilter
from shop.http.permissions import OFFICE, grants
from shop.http.records import Deleted, Listed, Retrieved
from shop.http.serializers import StrictSerializer, TextField
from shop.http.verbs import file, verb
from shop.http.views import ShopViewSet


class InvoicePaymentInput(MoneyInput):
    """Money received for the invoice; more than is due is refused unless the rest is credit."""

    keep_rest_as_credit = serializers.BooleanField(default=False)


class AdjustmentInput(AmountOrPercentInput):
    """An allowance or charge on a whole draft: a percentage of its lines, or an amount."""

    is_charge = serializers.BooleanField(default=False)
    reason = TextField(max_length=200)


class CreditLineInput(StrictSerializer):
    """How much of a line, without tax, is taken back."""

    position = serializers.IntegerField(min_value=1, max_value=32767)
    net_amount = serializers.DecimalField(max_digits=14, decimal_places=3)


class CreditInput(StrictSerializer):
    """Why an invoice is credited, and which lines; all that is left when none are named."""

    reason = TextField(max_length=300)
    lines = CreditLineInput(many=True, required=False, allow_empty=False)


class InvoiceSummaryOutput(DocumentTotalsOutput):
    """An invoice or credit note in a list."""

    paid_total = AmountField()
    credited_total = AmountField(help_text="Taken back by issued credit notes.")
    written_off_total = AmountField()
    due_total = AmountField()

    class Meta:
        model = Invoice
        fields: tuple[str, ...] = (
            *("id", "kind", "number", "status", "quote", "corrects", "client", "drafted_at"),
            *("issued_on", "due_on", "reference"),
            *TOTALS,
            *("paid_total", "credited_total", "written_off_total", "due_total"),
        )


class InvoiceOutput(InvoiceSummaryOutput):
    """An invoice with its rows and what settled it; seller and buyer as they were when issued."""

    seller = serializers.DictField(allow_null=True)
    buyer = serializers.DictField(allow_null=True)
    lines = DocumentLineOutput(many=True)
    allowances = DocumentAllowanceOutput(many=True)
    taxes = DocumentTaxOutput(many=True)
    allocations = AllocationOutput(many=True)
    write_offs = WriteOffOutput(many=True)

    class Meta(InvoiceSummaryOutput.Meta):
        fields = (
            *InvoiceSummaryOutput.Meta.fields,
            *("reason", "payment_terms", "seller", "buyer"),
            *("lines", "allowances", "taxes", "allocations", "write_offs", "credit_notes"),
        )


class InvoiceFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By client, kind, status, number, days, and whether something is still due."""

    client = IdFilter()
    quote = IdFilter()
    corrects = IdFilter()
    kind = django_filters.ChoiceFilter(choices=InvoiceKind.choices)
    status = django_filters.ChoiceFilter(choices=InvoiceStatus.choices)
    reference = django_filters.CharFilter()
    number = django_filters.CharFilter()
    issued_on = django_filters.DateFromToRangeFilter()
    due_on = django_filters.DateFromToRangeFilter()
    is_due = TrueFalseFilter(method="by_due", label="Something is still due.")
    order = Order(fields=["id", "drafted_at"])

    class Meta:
        model = Invoice
        fields = ()

    def by_due(self, rows: QuerySet[Invoice], _: str, is_due: bool) -> QuerySet[Invoice]:  # noqa: FBT001
        """Return the issued invoices on which something, or nothing, is due."""
        issued = rows.filter(status=InvoiceStatus.ISSUED)
        return issued.filter(Q(due_total__gt=0) if is_due else Q(due_total=0))


class InvoiceViewSet(Listed, Retrieved, Deleted, ShopViewSet):
    """Invoices: drafts can be thrown away, issued ones stand."""

    model = Invoice
    roles = grants(read=OFFICE, write=OFFICE)
    filterset_class = InvoiceFilter
    output = InvoiceOutput

    def rows(self) -> QuerySet[Invoice]:
        """Return the invoices, which the office and the owner see."""
        return invoices() if self.pages else invoices_in_full()

    def output_class(self) -> Any:
        """Return the short form for a list."""
        return InvoiceSummaryOutput if self.pages else super().output_class()

    @property
    def recorded(self) -> Recorded:
        """Now, and the caller."""
        return Recorded(timezone.now(), self.user)

    def remove(self, row: Invoice) -> None:
        """Throw a draft away."""
        invoice_discard(invoice=row)

    @verb()
    def issue(self) -> Response:
        """Give the draft its number and freeze it."""
        invoice, today = self.found(), timezone.localdate()
        if invoice.kind == InvoiceKind.CREDIT_NOTE:
            credit_note_issue(note=invoice, issued_on=today, recorded=self.recorded)
        else:
            invoice_issue(invoice=invoice, issued_on=today)
        return self.shown(self.found())

    @file(XMLRenderer)
    def xml(self) -> Response:
        """Return the issued document as EN 16931 XML (UN/CEFACT Cross Industry Invoice)."""
        invoice = self.found()
        return file_response(cross_industry_invoice(e_invoice(invoice)), f"{invoice.number}.xml")

    @verb(takes=AdjustmentInput)
    def adjust(self) -> Response:
        """Put an allowance or charge on the whole draft, shared out over its tax rates."""
        invoice_adjust(invoice=self.found(), adjustment=Adjustment(**self.checked()))
        return self.shown(self.found())

    @verb(takes=CreditInput, gives_status=201)
    def credit(self) -> Response:
        """Draft a credit note over some lines, or over all that is left of the invoice."""
        invoice, values = self.found(), self.checked()
        lines = values.get("lines")
        note = invoice_credit(
            invoice=invoice,
            reason=values["reason"],
            wanted=lines and {line["position"]: line["net_amount"] for line in lines},
            drafted_at=timezone.now(),
            drafted_by=self.user,
        )
        location = reverse("invoice-detail", kwargs={"pk": note.pk}, request=self.request)
        return self.created(invoices_in_full().get(pk=note.pk), location)

    @verb(takes=InvoicePaymentInput, gives_status=201)
    def payments(self) -> Response:
        """Record money received, and return the invoice with what is still due."""
        invoice, values = self.found(), self.checked()
        invoice_pay(
            invoice=invoice,
            money=money_of(values),
            keep_rest_as_credit=values["keep_rest_as_credit"],
            recorded=self.recorded,
        )
        return self.shown(self.found())

    @verb(takes=WriteOffInput, gives_status=201, path="write-off")
    def write_off(self) -> Response:
        """Write off what nobody will pay, and return the invoice with what is still due."""
        invoice, values = self.found(), self.checked()
        invoice_write_off(
            invoice=invoice, booked_on=timezone.localdate(), recorded=self.recorded, **values
        )
        return self.shown(self.found())
