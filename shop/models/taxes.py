"""Tax categories and the rates that hold from a day on. No rate ships with the project."""

from typing import ClassVar

import pghistory
from django.contrib.postgres.constraints import ExclusionConstraint
from django.db import models
from django.db.models import F, Q

from shop.models.provenance import CatalogueRow
from shop.models.ranges import overlapping, same, same_text


class StandardTaxCode(models.TextChoices):
    """The codes of UNTDID 5305 that EN 16931 allows and a repair shop meets."""

    STANDARD = "S", "Standard or reduced rate"
    ZERO = "Z", "Zero rated"
    EXEMPT = "E", "Exempt"
    NOT_SUBJECT = "O", "Not subject to tax"


UNTAXED_FOR_A_REASON = [StandardTaxCode.EXEMPT, StandardTaxCode.NOT_SUBJECT]


class TaxCategory(CatalogueRow):
    """What kind of tax a line bears; its percentage is a rate with a date.

    Source: EN 16931-1, BR-E-10 and BR-O-10 for the reason, BR-S-10 and BR-Z-10 for none.
    """

    en16931_code = models.CharField(max_length=2, choices=StandardTaxCode)
    exemption_reason = models.CharField(max_length=200, blank=True)

    class Meta(CatalogueRow.Meta):
        verbose_name_plural = "tax categories"
        constraints: ClassVar = [
            *CatalogueRow.Meta.constraints,
            models.CheckConstraint(
                name="shop_taxcategory_code_known",
                condition=Q(en16931_code__in=StandardTaxCode.values),
                violation_error_code="tax-code-unknown",
                violation_error_message="The tax code is S, Z, E or O.",
            ),
            models.CheckConstraint(
                name="shop_taxcategory_exemption_reasoned",
                condition=Q(Q(en16931_code__in=UNTAXED_FOR_A_REASON), ~Q(exemption_reason=""))
                | Q(~Q(en16931_code__in=UNTAXED_FOR_A_REASON), exemption_reason=""),
                violation_error_code="exemption-reason",
                violation_error_message=(
                    "A category that is exempt (E) or not subject to tax (O), and no other, says"
                    " why."
                ),
            ),
        ]


@pghistory.track(pghistory.InsertEvent(), pghistory.UpdateEvent(), pghistory.DeleteEvent())
class TaxRate(models.Model):
    """The percentage of a category from `valid_from` until before `valid_until`.

    It holds where the work is done: in `country` (ISO 3166-1 alpha-2) or only in a `region` of it;
    without them wherever no more particular rate does. Which place counts is for local law.
    """

    category = models.ForeignKey(TaxCategory, on_delete=models.PROTECT, related_name="rates")
    country = models.CharField(max_length=2, blank=True)
    region = models.CharField(max_length=100, blank=True)
    percent = models.DecimalField(max_digits=6, decimal_places=3)
    valid_from = models.DateField()
    valid_until = models.DateField(null=True, blank=True)

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(
                name="shop_taxrate_percent_sensible",
                condition=Q(percent__gte=0, percent__lte=100),
                violation_error_code="percent-absurd",
                violation_error_message="A tax rate lies between 0 and 100 %.",
            ),
            models.CheckConstraint(
                name="shop_taxrate_ends_after_start",
                condition=Q(valid_until__isnull=True) | Q(valid_from__lt=F("valid_until")),
                violation_error_code="dates-disordered",
                violation_error_message="A rate ends after it starts.",
            ),
            models.CheckConstraint(
                name="shop_taxrate_place",
                condition=Q(country="", region="") | Q(country__regex="^[A-Z]{2}$"),
                violation_error_code="place-unknown",
                violation_error_message=(
                    "A rate's country is two capital letters (ISO 3166-1), and its region one of"
                    " that country."
                ),
            ),
            ExclusionConstraint(
                name="shop_taxrate_no_overlap",
                expressions=[
                    same("category"),
                    same_text("country", "region"),
                    overlapping("valid_from", "valid_until", "daterange"),
                ],
                violation_error_code="rate-overlaps",
                violation_error_message=(
                    "Another rate of the category holds there on some of these days."
                ),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.percent} % from {self.valid_from}"
