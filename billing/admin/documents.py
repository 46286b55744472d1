"""Quotes and invoices: made through the API, shown here."""

from collections.abc import Iterable
from typing import Any

from django.contrib import admin
from django.db.models import QuerySet
from django.http import HttpRequest
from django.utils import timezone

from billing.admin.payments import AllocationInline, WriteOffInline
from billing.models import (
    OPEN_STATUSES,
    BagLine,
    ClientDecision,
    Invoice,
    InvoiceLine,
    InvoiceTax,
    NumberSeries,
    Quote,
    QuoteChange,
    QuoteLine,
    QuoteOption,
    QuoteTax,
)
from billing.queries.invoices import invoices
from billing.queries.quotes import quotes
from shop.admin.columns import amount, quantity
from shop.admin.office import ShownAdmin, ShownInline

LINE_COLUMNS = (
    "position",
    "description",
    quantity("quantity"),
    "unit",
    amount("unit_price"),
    amount("discount_amount", "discount"),
    amount("net_amount", "net"),
    quantity("tax_percent", "tax %"),
)
TAX_COLUMNS = (
    "tax_code",
    quantity("tax_percent", "tax %"),
    amount("taxable_amount"),
    amount("tax_amount"),
    "exemption_reason",
)
TOTALS = (
    amount("net_total", "net"),
    amount("tax_total", "tax"),
    amount("gross_total", "total"),
)


class QuoteLineInline(ShownInline):
    """A quote's lines."""

    model = QuoteLine
    fields = LINE_COLUMNS


class QuoteOptionInline(ShownInline):
    """What the client may take or leave of a quote, and what they took."""

    model = QuoteOption
    fields = ("position", "title", "is_default", amount("gross_total", "with tax"), "agreement")
    joined = ("agreement",)


class QuoteTaxInline(ShownInline):
    """A quote's taxes."""

    model = QuoteTax
    fields = TAX_COLUMNS
    verbose_name_plural = "taxes"


class BagLineInline(ShownInline):
    """What a quote's job bag should hold, and what it got so far."""

    model = BagLine
    fields = (
        "part",
        quantity("wanted_quantity", "wanted"),
        quantity("taken_quantity", "taken"),
    )
    joined = ("part",)


class ClientDecisionInline(ShownInline):
    """What the client answered by the quote's link, and from where."""

    model = ClientDecision
    fields = ("decision", "name", "reason", "decided_at", "address", "user_agent", "promise_sha256")


class QuoteChangeInline(ShownInline):
    """Extra work that was added to a quote."""

    model = QuoteChange
    fields = ("number", "status", "remedy", "reason", amount("net_total"), "decided_by_name")
    joined = ("remedy",)


class QuoteFilter(admin.SimpleListFilter):
    """Leaves the quotes that somebody still has to do something about."""

    title = "to do"
    parameter_name = "to_do"

    def lookups(self, request: HttpRequest, model_admin: Any) -> Iterable[tuple[str, str]]:  # noqa: ARG002
        """Return the choices."""
        return [("open", "Open"), ("short", "Open and short of parts")]

    def queryset(self, request: HttpRequest, queryset: QuerySet[Any]) -> QuerySet[Any]:  # noqa: ARG002
        """Return the quotes chosen."""
        match self.value():
            case "open":
                return queryset.filter(status__in=OPEN_STATUSES)
            case "short":
                return queryset.filter(status__in=OPEN_STATUSES, is_short=True)
        return queryset


@admin.register(Quote)
class QuoteAdmin(ShownAdmin):
    """Quotes, newest first."""

    list_display = (
        "id",
        "version",
        "client",
        "status",
        "made_at",
        "valid_until",
        *TOTALS,
        "is_short",
    )
    list_filter = (QuoteFilter, "status")
    search_fields = ("client__name",)
    inlines = (
        QuoteLineInline,
        QuoteOptionInline,
        QuoteTaxInline,
        QuoteChangeInline,
        BagLineInline,
        ClientDecisionInline,
    )

    def get_queryset(self, request: HttpRequest) -> QuerySet[Quote]:  # noqa: ARG002
        """Return all quotes."""
        return quotes()

    @admin.display(description="short of parts", boolean=True)
    def is_short(self, quote: Any) -> bool:
        """Return whether the bag lacks something."""
        return bool(quote.is_short)


class InvoiceLineInline(ShownInline):
    """An invoice's lines."""

    model = InvoiceLine
    fields = LINE_COLUMNS


class InvoiceTaxInline(ShownInline):
    """An invoice's taxes."""

    model = InvoiceTax
    fields = TAX_COLUMNS
    verbose_name_plural = "taxes"


class InvoiceFilter(admin.SimpleListFilter):
    """Leaves the issued invoices that are not paid in full."""

    title = "owed"
    parameter_name = "owed"

    def lookups(self, request: HttpRequest, model_admin: Any) -> Iterable[tuple[str, str]]:  # noqa: ARG002
        """Return the choices."""
        return [("unpaid", "Unpaid"), ("overdue", "Overdue")]

    def queryset(self, request: HttpRequest, queryset: QuerySet[Any]) -> QuerySet[Any]:  # noqa: ARG002
        """Return the invoices chosen."""
        unpaid = queryset.filter(issued_on__isnull=False, due_total__gt=0)
        match self.value():
            case "unpaid":
                return unpaid
            case "overdue":
                return unpaid.filter(due_on__lt=timezone.localdate())
        return queryset


@admin.register(Invoice)
class InvoiceAdmin(ShownAdmin):
    """Invoices, newest first, with what is still owed."""

    list_display = (
        "__str__",
        "client",
        "status",
        "issued_on",
        "due_on",
        *TOTALS,
        amount("due_total", "owed"),
    )
    list_filter = (InvoiceFilter, "status")
    list_select_related = ("client",)
    search_fields = ("number", "client__name")
    inlines = (InvoiceLineInline, InvoiceTaxInline, AllocationInline, WriteOffInline)

    def get_queryset(self, request: HttpRequest) -> QuerySet[Any]:  # noqa: ARG002
        """Return all invoices with what is owed."""
        return invoices()


@admin.register(NumberSeries)
class NumberSeriesAdmin(ShownAdmin):
    """The last number given out in each series and year."""

    list_display = ("code", "year", "last_number")
    ordering = ("code", "-year")
