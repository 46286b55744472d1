"""Margins: what completed jobs earned."""

from decimal import Decimal
from typing import Any

from django.conf import settings
from rest_framework import serializers
from rest_framework.response import Response

from billing.queries.margins import job_margins
from shop.http.amounts import AmountField, RoundedQuantityField
from shop.http.reports import OfficeReport, PeriodQuery
from shop.http.serializers import InstantField
from shop.models import ShopProfile

SUMS = ("quoted_net", "invoiced_net", "parts_cost", "minutes", "labour_cost", "margin")


class MarginTotalsOutput(serializers.Serializer[Any]):
    """What was quoted and invoiced without tax, what it cost, and what is left.

    Parts are at the moving weighted average (IAS 2), labour at the profile's
    `labour_cost_per_hour`; labour cost and margin are null while the shop has not said it.
    """

    quoted_net = AmountField()
    invoiced_net = AmountField()
    parts_cost = AmountField()
    minutes = RoundedQuantityField()
    labour_cost = AmountField(allow_null=True)
    margin = AmountField(allow_null=True)


class JobMarginOutput(MarginTotalsOutput):
    """The same of a completed job; what is not invoiced yet is not earned yet."""

    quote = serializers.IntegerField(source="pk")
    examination = serializers.IntegerField(source="examination_id")
    client = serializers.IntegerField(source="client_id")
    client_name = serializers.CharField(source="client.name")
    completed_at = InstantField()


class JobMarginsOutput(serializers.Serializer[Any]):
    """The jobs completed in a period, the last first, and their sums."""

    opened_on = serializers.DateField()
    closed_on = serializers.DateField()
    currency = serializers.CharField(default=settings.CURRENCY)
    labour_cost_per_hour = AmountField(allow_null=True)
    items = JobMarginOutput(many=True)
    total = MarginTotalsOutput()


class JobMarginsViewSet(OfficeReport):
    """What completed jobs earned: price, parts at cost, minutes at the shop's labour cost."""

    query = PeriodQuery
    output = JobMarginsOutput

    def job_margins(self) -> Response:
        """Return the margins, as JSON, or as a sheet of the jobs."""
        period = self.checked_query()
        hour = ShopProfile.objects.get().labour_cost_per_hour
        jobs = list(job_margins(**period, labour_cost_per_hour=hour))
        total = {name: _sum(getattr(job, name) for job in jobs) for name in SUMS}
        return self.shown({**period, "labour_cost_per_hour": hour, "items": jobs, "total": total})


def _sum(amounts: Any) -> Decimal | None:
    found = list(amounts)
    return None if None in found else sum(found, Decimal(0))
