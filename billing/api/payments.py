"""Money that came in: allocated to invoices, kept as the client's credit, refunded, reversed."""

from typing import Any

import django_filters
from django.db.models import QuerySet
from rest_framework.response import Response

from billing.actions.allocations import payment_allocate
from billing.actions.payments import (
    payment_record,
    payment_refund,
    payment_reverse,
    refund_reverse,
)
from billing.api.allocations import AllocationOutput
from billing.api.book_entries import (
    ENTRY_FIELDS,
    BookEntryOutput,
    BookViewSet,
    MoneyInput,
    ReasonInput,
    SharesField,
    money_of,
)
from billing.models import Payment, PaymentMethod, Refund
from billing.queries.payments import payments, payments_in_full, refunds
from shop.http.amounts import AmountField
from shop.http.filters import IdFilter, Order, TrueFalseFilter
from shop.http.records import Created
from shop.http.serializers import RowField, StrictSerializer
from shop.http.verbs import verb
from shop.http.views import Values
from shop.models import Client


class PaymentInput(MoneyInput):
    """Money that came in from a client; what no allocation names is kept as the client's credit."""

    client = RowField(queryset=Client.objects.all())
    allocations = SharesField(default=list)


class AllocateInput(StrictSerializer):
    """What of the payment settles which invoice; left out, what is due first is settled first."""

    allocations = SharesField(required=False, allow_empty=False)


class RefundInput(ReasonInput, MoneyInput):
    """Money that went back to the client, and why."""


class RefundOutput(BookEntryOutput):
    """Money that went back of a payment."""

    class Meta:
        model = Refund
        fields = (*ENTRY_FIELDS, "payment", "method", "reference")


class PaymentSummaryOutput(BookEntryOutput):
    """A payment in a list; `credit_total` is what is neither allocated nor refunded."""

    allocated_total = AmountField()
    refunded_total = AmountField()
    credit_total = AmountField()

    class Meta:
        model = Payment
        fields: tuple[str, ...] = (
            *ENTRY_FIELDS,
            *("client", "currency", "method", "reference", "statement_entry"),
            *("allocated_total", "refunded_total", "credit_total"),
        )


class PaymentOutput(PaymentSummaryOutput):
    """A payment with all that became of it."""

    allocations = AllocationOutput(many=True)
    refunds = RefundOutput(many=True)

    class Meta(PaymentSummaryOutput.Meta):
        fields = (*PaymentSummaryOutput.Meta.fields, "allocations", "refunds")


class PaymentFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By client, method, reference, day, and whether something is left as credit."""

    client = IdFilter()
    method = django_filters.ChoiceFilter(choices=PaymentMethod.choices)
    reference = django_filters.CharFilter(max_length=140)
    statement_entry = IdFilter()
    booked_on = django_filters.DateFromToRangeFilter()
    is_reversed = TrueFalseFilter()
    has_credit = TrueFalseFilter(method="by_credit", label="Something is left of it.")
    order = Order(fields=["id", "booked_on"])

    class Meta:
        model = Payment
        fields = ()

    def by_credit(self, rows: QuerySet[Any], _: str, has_credit: bool) -> QuerySet[Payment]:  # noqa: FBT001
        """Return the payments of which something, or nothing, is left."""
        return rows.filter(credit_total__gt=0) if has_credit else rows.filter(credit_total=0)


class PaymentViewSet(Created, BookViewSet):
    """Payments, the latest first."""

    model = Payment
    filterset_class = PaymentFilter
    create_input, output = PaymentInput, PaymentOutput

    def rows(self) -> QuerySet[Payment]:
        """Return the payments, which the office and the owner see."""
        return payments() if self.pages else payments_in_full()

    def output_class(self) -> Any:
        """Return the short form for a list."""
        return PaymentSummaryOutput if self.pages else super().output_class()

    def add(self, values: Values) -> Payment:
        """Record money received."""
        return payment_record(
            client=values["client"],
            money=money_of(values),
            shares=values["allocations"],
            recorded=self.recorded,
        )

    def take_back(self, row: Payment, **how: Any) -> Payment:
        """Reverse a payment that never came, and what it settled."""
        return payment_reverse(payment=row, **how)

    @verb(takes=AllocateInput, gives_status=201)
    def allocate(self) -> Response:
        """Settle invoices with what is left of the payment, and return it as it is now."""
        payment, values = self.found(), self.checked()
        shares = values.get("allocations")
        payment_allocate(payment=payment, shares=shares, recorded=self.recorded)
        return self.shown(self.found())

    @verb(takes=RefundInput, gives_status=201)
    def refund(self) -> Response:
        """Record money given back of what is left of the payment, and return it as it is now."""
        payment, values = self.found(), self.checked()
        payment_refund(
            payment=payment,
            money=money_of(values),
            reason=values["reason"],
            recorded=self.recorded,
        )
        return self.shown(self.found())


class RefundFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By payment, client, method and day."""

    payment = IdFilter()
    client = IdFilter(field_name="payment__client")
    method = django_filters.ChoiceFilter(choices=PaymentMethod.choices)
    booked_on = django_filters.DateFromToRangeFilter()
    order = Order(fields=["id", "booked_on"])

    class Meta:
        model = Refund
        fields = ()


class RefundViewSet(BookViewSet):
    """Refunds, the latest first."""

    model = Refund
    filterset_class = RefundFilter
    output = RefundOutput

    def rows(self) -> QuerySet[Refund]:
        """Return the refunds, which the office and the owner see."""
        return refunds()

    def take_back(self, row: Refund, **how: Any) -> Refund:
        """Reverse a refund that never went out."""
        return refund_reverse(refund=row, **how)
