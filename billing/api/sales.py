"""The sales and tax summary."""

from typing import Any

from django.conf import settings
from rest_framework import serializers
from rest_framework.response import Response

from billing.queries.sales import sales_summary
from shop.http.amounts import AmountField, QuantityField
from shop.http.reports import OfficeReport, PeriodQuery

PERIODS = ["month", "quarter", "year"]


class SalesQuery(PeriodQuery):
    """The days, and whether they are split by month, quarter or year."""

    by = serializers.ChoiceField(choices=PERIODS, default="month")


class SalesRateOutput(serializers.Serializer[Any]):
    """What was invoiced and credited at one rate in one period; the rest is their difference."""

    starts_on = serializers.DateField()
    tax_code = serializers.CharField()
    tax_percent = QuantityField()
    invoiced_net = AmountField()
    invoiced_tax = AmountField()
    credited_net = AmountField()
    credited_tax = AmountField()
    net = AmountField()
    tax = AmountField()


class SalesPeriodOutput(serializers.Serializer[Any]):
    """The totals of a period's invoices less those of its credit notes.

    `net_total` and `tax_total` are the documents' own and equal the sums over the rates.
    """

    starts_on = serializers.DateField()
    invoice_count = serializers.IntegerField()
    credit_note_count = serializers.IntegerField()
    net_total = AmountField()
    tax_total = AmountField()
    gross_total = AmountField()
    rounding_amount = AmountField()
    payable_total = AmountField()


class SalesSummaryOutput(serializers.Serializer[Any]):
    """What was sold, by period and rate. A document counts on the day on which it was issued.

    When tax falls due, and on what, the law says; `note` repeats this.
    """

    opened_on = serializers.DateField()
    closed_on = serializers.DateField()
    currency = serializers.CharField(default=settings.CURRENCY)
    note = serializers.CharField(
        default=(
            "By the day of issue, deposits included. Local law governs when tax is due and on what."
        )
    )
    items = SalesRateOutput(many=True)
    periods = SalesPeriodOutput(many=True)


class SalesSummaryViewSet(OfficeReport):
    """What was sold and what tax is on it, by period and rate; it ties to the documents."""

    query = SalesQuery
    output = SalesSummaryOutput

    def sales_summary(self) -> Response:
        """Return the summary, as JSON, or as a sheet of the rates."""
        asked = self.checked_query()
        periods = sales_summary(**asked)
        items = [rate for period in periods for rate in period.rates]
        shown = {"items": items, "periods": [period.totals for period in periods]}
        return self.shown({**asked, **shown})
