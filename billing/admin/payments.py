"""Payments and what became of them: recorded through the API, shown here."""

from django.contrib import admin

from billing.models import (
    Allocation,
    BankStatement,
    LedgerAccount,
    Payment,
    Refund,
    Reminder,
    ReminderLevel,
    ReminderText,
    StatementEntry,
    WriteOff,
)
from shop.admin.columns import amount
from shop.admin.office import OfficeAdmin, OfficeInline, ShownAdmin, ShownInline


class AllocationInline(ShownInline):
    """What of payments settled an invoice, or which invoices a payment settled."""

    model = Allocation
    fields = ("booked_on", amount("amount"), "payment", "invoice", "method", "reference", "reason")
    joined = ("payment", "invoice")

    @admin.display
    def method(self, allocation: Allocation) -> str:
        """Return how the money came."""
        return allocation.payment.get_method_display()

    @admin.display
    def reference(self, allocation: Allocation) -> str:
        """Return what the payer quoted."""
        return allocation.payment.reference


class WriteOffInline(ShownInline):
    """What of an invoice was written off."""

    model = WriteOff
    fields = ("booked_on", amount("amount"), "reason")


class RefundInline(ShownInline):
    """What of a payment went back."""

    model = Refund
    fields = ("booked_on", amount("amount"), "method", "reference", "reason")


@admin.register(Payment)
class PaymentAdmin(ShownAdmin):
    """Payments, the latest first."""

    list_display = ("booked_on", "client", amount("amount"), "method", "reference", "reason")
    list_filter = ("method",)
    list_select_related = ("client",)
    search_fields = ("reference", "allocations__invoice__number", "client__name")
    date_hierarchy = "booked_on"
    ordering = ("-booked_on", "-id")
    inlines = (AllocationInline, RefundInline)


@admin.register(Refund)
class RefundAdmin(ShownAdmin):
    """Refunds, the latest first."""

    list_display = ("booked_on", "payment", amount("amount"), "method", "reference", "reason")
    list_select_related = ("payment",)
    date_hierarchy = "booked_on"
    ordering = ("-booked_on", "-id")


@admin.register(WriteOff)
class WriteOffAdmin(ShownAdmin):
    """What was written off, the latest first."""

    list_display = ("booked_on", "invoice", amount("amount"), "reason")
    list_select_related = ("invoice",)
    search_fields = ("invoice__number", "invoice__client__name", "reason")
    date_hierarchy = "booked_on"
    ordering = ("-booked_on", "-id")


class StatementEntryInline(ShownInline):
    """What a statement says."""

    model = StatementEntry
    fields = ("booked_on", amount("amount"), "payer_name", "reference", "text", "dismissal_reason")


@admin.register(BankStatement)
class BankStatementAdmin(ShownAdmin):
    """Statements of the bank, the last kept first."""

    list_display = ("identifier", "account", "format", "imported_at")
    search_fields = ("identifier", "account", "entries__reference", "entries__payer_name")
    date_hierarchy = "imported_at"
    ordering = ("-imported_at", "-id")
    inlines = (StatementEntryInline,)


@admin.register(LedgerAccount)
class LedgerAccountAdmin(ShownAdmin):
    """The accounts that the journal names."""

    list_display = ("role", "method", "code", "name")
    ordering = ("id",)


class ReminderTextInline(OfficeInline):
    """What the reminders of a level say."""

    model = ReminderText


@admin.register(ReminderLevel)
class ReminderLevelAdmin(OfficeAdmin):
    """The levels of reminders and their texts."""

    list_display = ("level", "days_after_due")
    ordering = ("level",)
    inlines = (ReminderTextInline,)


@admin.register(Reminder)
class ReminderAdmin(ShownAdmin):
    """Reminders, the latest first."""

    list_display = ("recorded_at", "invoice", "level", "channel", "email", "mailed_at")
    list_filter = ("channel",)
    list_select_related = ("invoice", "level")
    search_fields = ("invoice__number", "invoice__client__name", "subject")
    date_hierarchy = "recorded_at"
    ordering = ("-recorded_at", "-id")
