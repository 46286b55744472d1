"""The shop itself: one row."""

from decimal import Decimal
from typing import ClassVar

import pghistory
import pgtrigger
from django.contrib.postgres.fields import ArrayField
from django.db import models
from django.db.models import F, Q

from shop.models.guards import Guard
from shop.models.languages import Language
from shop.models.parts import SERVICE_LEVELS, SizeScheme

# No measured figure was found: nobody judges a treated room within a week, and two is common
# practice.
SETTLE_DAYS = (7, 92)
MOST_WARRANTY_DAYS = 3653


MOST_AGED_DAYS = 6


def aged_days() -> list[int]:
    """Return the days overdue at which receivables are sorted until the shop says others.

    Common practice: thirty, sixty and ninety days.
    """
    return [30, 60, 90]


class TaxRoundedOn(models.TextChoices):
    """Where tax is rounded; EN 16931 does it once for each rate of a document."""

    DOCUMENT = "document", "Each rate of a document"
    LINE = "line", "Each line"


class PaperSize(models.TextChoices):
    """What documents are printed on."""

    A4 = "a4", "A4 (ISO 216)"
    LETTER = "letter", "Letter (ANSI/ASME Y14.1)"


@pghistory.track(pghistory.UpdateEvent())
class ShopProfile(models.Model):
    """What stands on the shop's documents, and its settings. There is exactly one, with id 1.

    With `prices_include_tax` the prices of the price book are with the tax of the place of work.
    Humidity limits are the shop's own judgement, since published advice differs. `kit_confidence`
    is the chance with which a kit of pins shall do; `quotes_by_bench_work` lets bench work move the
    catalogue's minutes in quotes. What quotes ask for beforehand, and the terms they are made on,
    are the shop's own too: local consumer law governs both. Extra work may be done without asking
    up to `change_tolerance_percent` of what was agreed before tax, and at most
    `change_tolerance_amount` where it is set; it starts at nothing. What comes back within
    `warranty_days` of the work is put right for nothing; the law may give more.

    A cause counts as found from a probability of `cause_sure_percent`. A treated room settles for
    `settle_days` before anybody looks again. Reordering goes by the share of lead times in which
    stock should last, the days between looks at it, what ordering a part costs beside its goods,
    and what a year of keeping goods costs of their price; what these start at are estimates.
    Interest a year on what is paid late is charged only if the shop sets it: local law governs.

    Receivables are sorted by the ends `aged_days` of the days overdue; an hour of work costs the
    shop itself `labour_cost_per_hour`, where it says so.
    """

    id = models.PositiveSmallIntegerField(primary_key=True, default=1)
    name = models.CharField(max_length=200, default="The piano repair shop")
    street = models.CharField(max_length=200, blank=True)
    city = models.CharField(max_length=100, blank=True)
    postcode = models.CharField(max_length=20, blank=True)
    country = models.CharField(max_length=2, blank=True)
    email = models.EmailField(blank=True)
    phone = models.CharField(max_length=50, blank=True)
    is_tax_registered = models.BooleanField(default=False)
    tax_number = models.CharField(max_length=50, blank=True)
    prices_include_tax = models.BooleanField(default=False)
    iban = models.CharField(max_length=34, blank=True)
    quote_validity_days = models.PositiveSmallIntegerField(default=30)
    quote_terms = models.TextField(blank=True)
    deposit_percent = models.DecimalField(max_digits=5, decimal_places=2, default=0)
    change_tolerance_percent = models.DecimalField(max_digits=5, decimal_places=2, default=0)
    change_tolerance_amount = models.DecimalField(
        max_digits=14, decimal_places=3, null=True, blank=True
    )
    warranty_days = models.PositiveSmallIntegerField(default=0)
    payment_days = models.PositiveSmallIntegerField(default=14)
    payment_terms = models.TextField(blank=True)
    late_interest_percent = models.DecimalField(
        max_digits=5, decimal_places=2, null=True, blank=True
    )
    tax_rounding = models.CharField(
        max_length=10, choices=TaxRoundedOn, default=TaxRoundedOn.DOCUMENT
    )
    books_certain_payments = models.BooleanField(default=False)
    aged_days = ArrayField(models.PositiveSmallIntegerField(), default=aged_days)
    labour_cost_per_hour = models.DecimalField(
        max_digits=14, decimal_places=3, null=True, blank=True
    )
    pin_size_scheme = models.CharField(max_length=10, choices=SizeScheme, default=SizeScheme.INCH)
    kit_confidence = models.DecimalField(max_digits=4, decimal_places=3, default=Decimal("0.95"))
    quotes_by_bench_work = models.BooleanField(default=False)
    cause_sure_percent = models.DecimalField(max_digits=4, decimal_places=1, default=80)
    settle_days = models.PositiveSmallIntegerField(default=14)
    humidity_target_percent = models.DecimalField(max_digits=4, decimal_places=1, default=42)
    humidity_lowest_percent = models.DecimalField(max_digits=4, decimal_places=1, default=35)
    humidity_highest_percent = models.DecimalField(max_digits=4, decimal_places=1, default=55)
    service_level_percent = models.DecimalField(max_digits=4, decimal_places=2, default=95)
    stock_review_days = models.PositiveSmallIntegerField(default=7)
    order_cost = models.DecimalField(max_digits=14, decimal_places=3, default=8)
    holding_cost_percent = models.DecimalField(max_digits=5, decimal_places=2, default=20)
    paper_size = models.CharField(max_length=10, choices=PaperSize, default=PaperSize.A4)
    language = models.CharField(max_length=2, choices=Language, default=Language.ENGLISH)

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(
                name="shop_shopprofile_paper_known",
                condition=Q(paper_size__in=PaperSize.values),
                violation_error_code="paper-unknown",
                violation_error_message="Documents are printed on A4 or Letter.",
            ),
            models.CheckConstraint(
                name="shop_shopprofile_language_known",
                condition=Q(language__in=Language.values),
                violation_error_code="language-unknown",
                violation_error_message="Documents are written in English or German.",
            ),
            models.CheckConstraint(
                name="shop_shopprofile_only_one",
                condition=Q(id=1),
                violation_error_code="profile-exists",
                violation_error_message="There is one shop profile; change it instead.",
            ),
            models.CheckConstraint(
                name="shop_shopprofile_humidity_ordered",
                condition=Q(
                    humidity_lowest_percent__gte=0,
                    humidity_lowest_percent__lte=F("humidity_target_percent"),
                    humidity_target_percent__lte=F("humidity_highest_percent"),
                    humidity_highest_percent__lte=100,
                ),
                violation_error_code="humidity-limits-disordered",
                violation_error_message="Humidity runs lowest, target, highest, in 0 to 100 %.",
            ),
            models.CheckConstraint(
                name="shop_shopprofile_tax_number",
                condition=Q(is_tax_registered=False) | ~Q(tax_number=""),
                violation_error_code="tax-number-missing",
                violation_error_message="A shop registered for tax has a tax number.",
            ),
            models.CheckConstraint(
                name="shop_shopprofile_iban_form",
                condition=Q(iban="") | Q(iban__regex="^[A-Z]{2}[0-9]{2}[A-Z0-9]{11,30}$"),
                violation_error_code="iban-malformed",
                violation_error_message="An IBAN is a country, two digits and the account.",
            ),
            models.CheckConstraint(
                name="shop_shopprofile_pin_scheme_known",
                condition=Q(pin_size_scheme__in=SizeScheme.values),
                violation_error_code="pin-scheme-unknown",
                violation_error_message="Centre pins are stocked by the inch or metric scheme.",
            ),
            models.CheckConstraint(
                name="shop_shopprofile_kit_confidence",
                condition=Q(kit_confidence__range=(Decimal("0.5"), Decimal("0.999"))),
                violation_error_code="confidence-absurd",
                violation_error_message="A kit does with a chance of 0.5 to 0.999.",
            ),
            models.CheckConstraint(
                name="shop_shopprofile_tax_rounding_known",
                condition=Q(tax_rounding__in=TaxRoundedOn.values),
                violation_error_code="tax-rounding-unknown",
                violation_error_message="Tax is rounded on the document or on each line.",
            ),
            models.CheckConstraint(
                name="shop_shopprofile_interest_sensible",
                condition=Q(late_interest_percent__isnull=True)
                | Q(late_interest_percent__range=(0, 100)),
                violation_error_code="interest-absurd",
                violation_error_message="Interest on late payments is 0 to 100 % a year, or none.",
            ),
            models.CheckConstraint(
                name="shop_shopprofile_labour_cost",
                condition=Q(labour_cost_per_hour__isnull=True) | Q(labour_cost_per_hour__gte=0),
                violation_error_code="amount-negative",
                violation_error_message="An hour of work costs nothing or more.",
            ),
            models.CheckConstraint(
                name="shop_shopprofile_days_sensible",
                condition=Q(quote_validity_days__range=(1, 366), payment_days__lte=366),
                violation_error_code="days-absurd",
                violation_error_message="A quote holds 1 to 366 days; payment is due in 366.",
            ),
            models.CheckConstraint(
                name="shop_shopprofile_deposit_sensible",
                condition=Q(deposit_percent__range=(0, 100)),
                violation_error_code="deposit-absurd",
                violation_error_message="A deposit is 0 to 100 % of a quote.",
            ),
            models.CheckConstraint(
                name="shop_shopprofile_tolerance_sensible",
                condition=Q(change_tolerance_percent__range=(0, 100))
                & (Q(change_tolerance_amount__isnull=True) | Q(change_tolerance_amount__gte=0)),
                violation_error_code="tolerance-absurd",
                violation_error_message="Extra work without asking is 0 to 100 % of a quote.",
            ),
            models.CheckConstraint(
                name="shop_shopprofile_warranty_sensible",
                condition=Q(warranty_days__lte=MOST_WARRANTY_DAYS),
                violation_error_code="warranty-absurd",
                violation_error_message="A warranty holds at most ten years.",
            ),
            models.CheckConstraint(
                name="shop_shopprofile_settling",
                condition=Q(settle_days__range=SETTLE_DAYS),
                violation_error_code="settling-absurd",
                violation_error_message="A treated room settles for 7 to 92 days.",
            ),
            models.CheckConstraint(
                name="shop_shopprofile_cause_sure",
                condition=Q(cause_sure_percent__range=(51, 99)),
                violation_error_code="sure-absurd",
                violation_error_message="A cause counts as found from 51 to 99 % on.",
            ),
            models.CheckConstraint(
                name="shop_shopprofile_reordering_sensible",
                condition=Q(
                    service_level_percent__range=SERVICE_LEVELS,
                    stock_review_days__lte=366,
                    order_cost__gte=0,
                    holding_cost_percent__range=(0, 100),
                ),
                violation_error_code="reordering-absurd",
                violation_error_message=(
                    "A service level is 50 to 99.99 %; stock is looked at at least once a year;"
                    " an order costs nothing or more; keeping goods costs 0 to 100 % a year."
                ),
            ),
        ]
        triggers: ClassVar = [
            Guard(
                name="shop_shopprofile_aged_days",
                code="days-disordered",
                message=f"Receivables are sorted by 1 to {MOST_AGED_DAYS} days, ascending.",
                operation=pgtrigger.Insert | pgtrigger.UpdateOf("aged_days"),
                refuse_when=(
                    f"cardinality(NEW.aged_days) NOT BETWEEN 1 AND {MOST_AGED_DAYS}"
                    " OR NEW.aged_days <> ARRAY(SELECT DISTINCT day FROM unnest(NEW.aged_days)"
                    " AS day WHERE day > 0 ORDER BY day)"
                ),
            ),
            Guard(
                name="shop_shopprofile_kept",
                code="profile-kept",
                message="The shop has a profile for good; change it instead.",
                operation=pgtrigger.Delete,
            ),
        ]

    def __str__(self) -> str:
        return self.name
