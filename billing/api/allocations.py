"""What settled invoices: shares of payments, and what was written off."""

from typing import Any

import django_filters
from django.db.models import QuerySet
from rest_framework import serializers

from billing.actions.allocations import allocation_reverse
from billing.actions.write_offs import write_off_reverse
from billing.api.book_entries import (
    ENTRY_FIELDS,
    BookEntryOutput,
    BookViewSet,
    ReasonInput,
    positive_amount,
)
from billing.models import Allocation, WriteOff
from billing.queries.payments import allocations, write_offs
from shop.http.filters import IdFilter, Order, TrueFalseFilter


class AllocationOutput(BookEntryOutput):
    """What of a payment settled an invoice."""

    method = serializers.CharField(source="payment.method")
    reference = serializers.CharField(source="payment.reference")

    class Meta:
        model = Allocation
        fields = (*ENTRY_FIELDS, "payment", "invoice", "method", "reference")


class WriteOffInput(ReasonInput):
    """Why nobody expects it to be paid, and how much; all that is due when left out.

    Whether tax on it can be reclaimed, and what has to be tried first, is for local law to say.
    """

    amount = positive_amount(required=False)


class WriteOffOutput(BookEntryOutput):
    """What of an invoice was written off."""

    class Meta:
        model = WriteOff
        fields = (*ENTRY_FIELDS, "invoice")


class AllocationFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By payment, invoice, client and day."""

    payment = IdFilter()
    invoice = IdFilter()
    client = IdFilter(field_name="invoice__client")
    booked_on = django_filters.DateFromToRangeFilter()
    is_reversed = TrueFalseFilter()
    order = Order(fields=["id", "booked_on"])

    class Meta:
        model = Allocation
        fields = ()


class AllocationViewSet(BookViewSet):
    """What of payments settled which invoices, the latest first."""

    model = Allocation
    filterset_class = AllocationFilter
    output = AllocationOutput

    def rows(self) -> QuerySet[Allocation]:
        """Return the allocations, which the office and the owner see."""
        return allocations()

    def take_back(self, row: Allocation, **how: Any) -> Allocation:
        """Reverse an allocation: the money is the client's credit again."""
        return allocation_reverse(allocation=row, **how)


class WriteOffFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By invoice, client and day."""

    invoice = IdFilter()
    client = IdFilter(field_name="invoice__client")
    booked_on = django_filters.DateFromToRangeFilter()
    is_reversed = TrueFalseFilter()
    order = Order(fields=["id", "booked_on"])

    class Meta:
        model = WriteOff
        fields = ()


class WriteOffViewSet(BookViewSet):
    """What was written off, the latest first."""

    model = WriteOff
    filterset_class = WriteOffFilter
    output = WriteOffOutput

    def rows(self) -> QuerySet[WriteOff]:
        """Return the write-offs, which the office and the owner see."""
        return write_offs()

    def take_back(self, row: WriteOff, **how: Any) -> WriteOff:
        """Reverse a write-off: the invoice is owed again."""
        return write_off_reverse(write_off=row, **how)
