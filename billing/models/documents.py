"""What quotes and invoices have in common: lines, taxes and the totals they add up to."""

from decimal import Decimal
from typing import ClassVar

import pgtrigger
from django.db import models
from django.db.models import F, Q
from django.db.models.expressions import Combinable
from django.db.models.functions import Round

from shop.models import StandardTaxCode
from shop.models.guards import Guard


def amount_field() -> "models.DecimalField[Decimal | Combinable, Decimal]":
    """Return a column of money in the document's currency."""
    return models.DecimalField(max_digits=14, decimal_places=3)


ROUNDED_TOTALS = [
    *("line_total", "allowance_total", "charge_total", "net_total", "tax_total"),
    "rounding_amount",
]


def _rounded(name: str) -> Round:
    return Round(name, "minor_units")  # type: ignore[arg-type]


class Document(models.Model):
    """Totals in `currency` (ISO 4217), kept to its `minor_units`, in the order of EN 16931.

    The sum of the lines, the document's own allowances and charges, the total without tax, the tax,
    the total with tax, what is added to come to a round or promised sum, and what is to be paid.
    """

    currency = models.CharField(max_length=3)
    minor_units = models.PositiveSmallIntegerField()
    line_total = amount_field()
    allowance_total = amount_field()
    charge_total = amount_field()
    net_total = amount_field()
    tax_total = amount_field()
    gross_total = amount_field()
    rounding_amount = amount_field()
    payable_total = amount_field()

    class Meta:
        abstract = True
        constraints: ClassVar = [
            models.CheckConstraint(
                name="%(app_label)s_%(class)s_totals_add_up",
                condition=Q(
                    net_total=F("line_total") - F("allowance_total") + F("charge_total"),
                    gross_total=F("net_total") + F("tax_total"),
                    payable_total=F("gross_total") + F("rounding_amount"),
                ),
                violation_error_code="totals-differ",
                violation_error_message=(
                    "Lines less allowances and with charges are the total without tax; with tax and"
                    " rounding it is what is to be paid."
                ),
            ),
            models.CheckConstraint(
                name="%(app_label)s_%(class)s_totals_rounded",
                condition=Q(*((name, _rounded(name)) for name in ROUNDED_TOTALS)),
                violation_error_code="amount-too-fine",
                violation_error_message="Totals have no more decimals than the currency.",
            ),
            models.CheckConstraint(
                name="%(app_label)s_%(class)s_totals_not_negative",
                condition=Q(
                    allowance_total__gte=0,
                    charge_total__gte=0,
                    net_total__gte=0,
                    tax_total__gte=0,
                    payable_total__gte=0,
                    rounding_amount__range=(-1, 1),
                ),
                violation_error_code="amount-negative",
                violation_error_message="Totals are not negative, and rounding is small.",
            ),
            models.CheckConstraint(
                name="%(app_label)s_%(class)s_currency_code",
                condition=Q(currency__regex="^[A-Z]{3}$", minor_units__lte=3),
                violation_error_code="currency-unknown",
                violation_error_message="The currency is three capital letters (ISO 4217).",
            ),
        ]


TAX_KNOWN = models.CheckConstraint(
    name="%(app_label)s_%(class)s_tax_known",
    condition=Q(tax_code__in=StandardTaxCode.values, tax_percent__range=(0, 100)),
    violation_error_code="tax-unknown",
    violation_error_message="A tax has the code S, Z, E or O and lies between 0 and 100 %.",
)


class LineKind(models.TextChoices):
    """What a line charges for."""

    SET_UP = "set_up", "Set-up"
    LABOUR = "labour", "Labour"
    PART = "part", "Part"
    FEE = "fee", "Fee"
    DEPOSIT = "deposit", "Deposit"
    MINIMUM = "minimum", "Up to the least that a job costs"


class DocumentLine(models.Model):
    """One line: quantity times unit price, less its discount, at one tax rate.

    `discount_percent` is of quantity times unit price, where the discount was given so.
    A deposit that was invoiced before stands on the last invoice as a line of less than nothing.
    """

    position = models.PositiveSmallIntegerField()
    kind = models.CharField(max_length=10, choices=LineKind)
    description = models.CharField(max_length=300)
    quantity = models.DecimalField(max_digits=14, decimal_places=3)
    unit = models.CharField(max_length=20)
    unit_price = models.DecimalField(max_digits=14, decimal_places=4)
    discount_amount = amount_field()
    discount_percent = models.DecimalField(max_digits=6, decimal_places=3, null=True, blank=True)
    discount_reason = models.CharField(max_length=200, blank=True)
    net_amount = amount_field()
    tax_category = models.ForeignKey("shop.TaxCategory", on_delete=models.PROTECT, related_name="+")
    tax_code = models.CharField(max_length=2, choices=StandardTaxCode)
    tax_percent = models.DecimalField(max_digits=6, decimal_places=3)

    class Meta:
        abstract = True
        ordering: ClassVar = ["position"]
        constraints: ClassVar = [
            models.CheckConstraint(
                name="%(app_label)s_%(class)s_kind_known",
                condition=Q(kind__in=LineKind.values),
                violation_error_code="kind-unknown",
                violation_error_message="What a line charges for is not one that there is.",
            ),
            models.CheckConstraint(
                name="%(app_label)s_%(class)s_amounts_sensible",
                condition=Q(
                    quantity__gte=0, unit_price__gte=0, discount_amount__gte=0, net_amount__gte=0
                )
                | Q(
                    kind=LineKind.DEPOSIT,
                    quantity=-1,
                    unit_price__gte=0,
                    discount_amount=0,
                    net_amount__lte=0,
                ),
                violation_error_code="amount-negative",
                violation_error_message="Only a deposit that is taken off is negative.",
            ),
            models.CheckConstraint(
                name="%(app_label)s_%(class)s_discount_explained",
                condition=Q(discount_amount=0) | ~Q(discount_reason=""),
                violation_error_code="reason-missing",
                violation_error_message="A discount has a reason.",
            ),
            models.CheckConstraint(
                name="%(app_label)s_%(class)s_discount_percent",
                condition=Q(discount_percent__isnull=True) | Q(discount_percent__range=(0, 100)),
                violation_error_code="percent-absurd",
                violation_error_message="A discount is 0 to 100 %.",
            ),
            TAX_KNOWN,
        ]

    def __str__(self) -> str:
        return self.description


class DocumentAllowance(models.Model):
    """An allowance or charge on the whole document, at one tax rate.

    `amount` is `percent` of `base_amount` where they are given.
    """

    position = models.PositiveSmallIntegerField()
    is_charge = models.BooleanField()
    reason = models.CharField(max_length=200)
    percent = models.DecimalField(max_digits=6, decimal_places=3, null=True, blank=True)
    base_amount = models.DecimalField(max_digits=14, decimal_places=3, null=True, blank=True)
    amount = amount_field()
    tax_category = models.ForeignKey("shop.TaxCategory", on_delete=models.PROTECT, related_name="+")
    tax_code = models.CharField(max_length=2, choices=StandardTaxCode)
    tax_percent = models.DecimalField(max_digits=6, decimal_places=3)

    class Meta:
        abstract = True
        ordering: ClassVar = ["position"]
        constraints: ClassVar = [
            models.CheckConstraint(
                name="%(app_label)s_%(class)s_amount_positive",
                condition=Q(amount__gt=0),
                violation_error_code="amount-not-positive",
                violation_error_message="An allowance or charge is more than nothing.",
            ),
            models.CheckConstraint(
                name="%(app_label)s_%(class)s_reason_given",
                condition=~Q(reason=""),
                violation_error_code="reason-missing",
                violation_error_message="An allowance or charge has a reason.",
            ),
            models.CheckConstraint(
                name="%(app_label)s_%(class)s_percent_of_base",
                condition=Q(percent__isnull=True, base_amount__isnull=True)
                | Q(
                    percent__isnull=False,
                    base_amount__isnull=False,
                    percent__range=(0, 100),
                    base_amount__gte=0,
                ),
                violation_error_code="percent-of-nothing",
                violation_error_message="A percentage of 0 to 100 and its base go together.",
            ),
            TAX_KNOWN,
        ]

    def __str__(self) -> str:
        return f"{'+' if self.is_charge else '-'}{self.amount}: {self.reason}"


class DocumentTax(models.Model):
    """The tax of one code and rate: EN 16931's VAT breakdown."""

    tax_code = models.CharField(max_length=2, choices=StandardTaxCode)
    tax_percent = models.DecimalField(max_digits=6, decimal_places=3)
    exemption_reason = models.CharField(max_length=200, blank=True)
    taxable_amount = amount_field()
    tax_amount = amount_field()

    class Meta:
        abstract = True
        constraints: ClassVar = [
            models.CheckConstraint(
                name="%(app_label)s_%(class)s_amounts_sensible",
                condition=Q(taxable_amount__gte=0, tax_amount__gte=0),
                violation_error_code="amount-negative",
                violation_error_message="The taxable amount and its tax are not negative.",
            ),
            TAX_KNOWN,
        ]

    def __str__(self) -> str:
        return f"{self.tax_percent} % of {self.taxable_amount}"


def totals_tie(
    document: str, foreign_key: str, *, lines: str = "", allowances: str = ""
) -> list[Guard]:
    """Return the guard that, at commit, ties a document's totals to its lines and taxes.

    `lines` and `allowances` say which rows of theirs are counted, where it is not all that have the
    document by `foreign_key`.
    """
    lines = lines or f"{document}line WHERE {foreign_key} = document.id"
    allowances = allowances or f"{document}allowance WHERE {foreign_key} = document.id"
    return [
        Guard(
            name=f"{document}_totals_tie",
            code="totals-differ",
            message="The totals are not those of the lines, allowances and taxes.",
            when=pgtrigger.After,
            timing=pgtrigger.Deferred,
            operation=pgtrigger.Insert | pgtrigger.Update,
            refuse_when=f"""
                EXISTS (
                    SELECT FROM {document} AS document,
                        LATERAL (SELECT COALESCE(sum(net_amount), 0) AS net
                                 FROM {lines}) AS lines,
                        LATERAL (SELECT COALESCE(sum(amount) FILTER (WHERE NOT is_charge), 0)
                                            AS allowed,
                                        COALESCE(sum(amount) FILTER (WHERE is_charge), 0)
                                            AS charged
                                 FROM {allowances}) AS allowances,
                        LATERAL (SELECT COALESCE(sum(taxable_amount), 0) AS net,
                                        COALESCE(sum(tax_amount), 0) AS tax
                                 FROM {document}tax WHERE {foreign_key} = document.id) AS taxes
                    WHERE document.id = NEW.id AND (document.line_total <> lines.net
                        OR document.allowance_total <> allowances.allowed
                        OR document.charge_total <> allowances.charged
                        OR document.net_total <> taxes.net OR document.tax_total <> taxes.tax))
            """,
        )
    ]
