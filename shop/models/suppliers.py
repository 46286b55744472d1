"""Who sells parts to the shop."""

from typing import ClassVar

import pghistory
from django.db import models
from django.db.models import Q

LONGEST_LEAD_TIME_DAYS = 730


@pghistory.track(pghistory.InsertEvent(), pghistory.UpdateEvent(), pghistory.DeleteEvent())
class Supplier(models.Model):
    """Who sells parts to the shop. `lead_time_days` is what they state, in calendar days.

    `minimum_order_value` is the least that they take an order of, in the shop's currency before
    tax; `customer_number` is what they know the shop by.
    """

    name = models.CharField(max_length=200, unique=True)
    street = models.CharField(max_length=200, blank=True)
    city = models.CharField(max_length=100, blank=True)
    postcode = models.CharField(max_length=20, blank=True)
    country = models.CharField(max_length=2, blank=True)
    email = models.EmailField(blank=True)
    phone = models.CharField(max_length=50, blank=True)
    customer_number = models.CharField(max_length=50, blank=True)
    lead_time_days = models.PositiveSmallIntegerField(default=7)
    minimum_order_value = models.DecimalField(max_digits=14, decimal_places=3, default=0)
    notes = models.TextField(blank=True)

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(
                name="shop_supplier_has_name",
                condition=~Q(name=""),
                violation_error_code="name-missing",
                violation_error_message="A supplier needs a name.",
            ),
            models.CheckConstraint(
                name="shop_supplier_lead_time",
                condition=Q(lead_time_days__lte=LONGEST_LEAD_TIME_DAYS),
                violation_error_code="lead-time-absurd",
                violation_error_message="A lead time is at most 730 days.",
            ),
            models.CheckConstraint(
                name="shop_supplier_minimum_order",
                condition=Q(minimum_order_value__gte=0),
                violation_error_code="amount-negative",
                violation_error_message="A minimum order value is not negative.",
            ),
        ]

    def __str__(self) -> str:
        return self.name
