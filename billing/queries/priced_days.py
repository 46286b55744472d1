"""Everything that the price book holds on a day."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import QuerySet

from billing.models import Fee, LabourRate
from billing.queries.taxes import in_force
from shop.models import Part, ShopProfile, TaxRate
from shop.queries.part_prices import with_prices


@dataclass(frozen=True)
class PricedDay:
    """The prices in force on a day as they were entered, and the rates of tax by place."""

    day: date
    profile: ShopProfile
    labour_rate: LabourRate | None
    fees: QuerySet[Fee]
    parts: QuerySet[Any]
    tax_rates: QuerySet[TaxRate]


def priced_day(day: date) -> PricedDay:
    """Return what the shop charges on `day`, for active parts."""
    hours = LabourRate.objects.select_related("tax_category")
    parts = Part.objects.filter(is_active=True).select_related("tax_category")
    rates = TaxRate.objects.select_related("category")
    return PricedDay(
        day=day,
        profile=ShopProfile.objects.get(),
        labour_rate=hours.filter(in_force(day)).first(),
        fees=Fee.objects.filter(in_force(day)).select_related("tax_category").order_by("kind"),
        parts=with_prices(parts, day).order_by("code"),
        tax_rates=rates.filter(in_force(day)).order_by("category__code", "country", "region", "id"),
    )
