"""What the shop charges for work and for coming: the price book, beside the parts' own prices.

Amounts are before tax, or with it where the shop's profile says so.
"""

from datetime import date
from typing import ClassVar

import pghistory
from django.contrib.postgres.constraints import ExclusionConstraint
from django.db import models
from django.db.models import F, Q

from shop.models import CatalogueRow, TaxCategory
from shop.models.ranges import overlapping, same_text

# From when a price holds that is entered without a day: earlier than any quote.
EVER = date(2000, 1, 1)


@pghistory.track(
    pghistory.InsertEvent(),
    pghistory.UpdateEvent(),
    pghistory.DeleteEvent(),
    exclude=["shipped_digest"],
)
class LabourRate(CatalogueRow):
    """What an hour of work costs, from `valid_from` until before `valid_until`."""

    per_hour = models.DecimalField(max_digits=14, decimal_places=3)
    tax_category = models.ForeignKey(TaxCategory, on_delete=models.PROTECT, related_name="+")
    valid_from = models.DateField()
    valid_until = models.DateField(null=True, blank=True)

    class Meta(CatalogueRow.Meta):
        constraints: ClassVar = [
            *CatalogueRow.Meta.constraints,
            models.CheckConstraint(
                name="billing_labourrate_not_negative",
                condition=Q(per_hour__gte=0),
                violation_error_code="amount-negative",
                violation_error_message="A labour rate is not negative.",
            ),
            models.CheckConstraint(
                name="billing_labourrate_ends_after_start",
                condition=Q(valid_until__isnull=True) | Q(valid_from__lt=F("valid_until")),
                violation_error_code="dates-disordered",
                violation_error_message="A rate ends after it starts.",
            ),
            ExclusionConstraint(
                name="billing_labourrate_no_overlap",
                expressions=[overlapping("valid_from", "valid_until", "daterange")],
                violation_error_code="rate-overlaps",
                violation_error_message="Another labour rate holds on some of these days.",
            ),
        ]


class FeeKind(models.TextChoices):
    """When a fee is charged."""

    TRAVEL = "travel", "For coming"
    INSPECTION = "inspection", "For looking"
    MINIMUM = "minimum", "At least this much for a job"


@pghistory.track(
    pghistory.InsertEvent(),
    pghistory.UpdateEvent(),
    pghistory.DeleteEvent(),
    exclude=["shipped_digest"],
)
class Fee(CatalogueRow):
    """An amount charged beside work and parts, from `valid_from` until before `valid_until`.

    There is one of a kind on a day.
    """

    kind = models.CharField(max_length=20, choices=FeeKind)
    amount = models.DecimalField(max_digits=14, decimal_places=3)
    tax_category = models.ForeignKey(TaxCategory, on_delete=models.PROTECT, related_name="+")
    valid_from = models.DateField(default=EVER)
    valid_until = models.DateField(null=True, blank=True)

    class Meta(CatalogueRow.Meta):
        constraints: ClassVar = [
            *CatalogueRow.Meta.constraints,
            models.CheckConstraint(
                name="billing_fee_kind_known",
                condition=Q(kind__in=FeeKind.values),
                violation_error_code="kind-unknown",
                violation_error_message="A fee is for travel, inspection or a minimum.",
            ),
            models.CheckConstraint(
                name="billing_fee_not_negative",
                condition=Q(amount__gte=0),
                violation_error_code="amount-negative",
                violation_error_message="A fee is not negative.",
            ),
            models.CheckConstraint(
                name="billing_fee_ends_after_start",
                condition=Q(valid_until__isnull=True) | Q(valid_from__lt=F("valid_until")),
                violation_error_code="dates-disordered",
                violation_error_message="A fee ends after it starts.",
            ),
            ExclusionConstraint(
                name="billing_fee_no_overlap",
                expressions=[
                    same_text("kind"),
                    overlapping("valid_from", "valid_until", "daterange"),
                ],
                violation_error_code="fee-overlaps",
                violation_error_message="Another fee of the kind holds on some of these days.",
            ),
        ]
