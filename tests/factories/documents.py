"""What the factories of quotes and invoices have in common."""

from decimal import Decimal

import factory

from billing import models
from shop.models import StandardTaxCode
from tests.factories.shop import RowFactory, TaxCategoryFactory


class DocumentFactory(RowFactory):
    """A quote or invoice of one line of labour: 100.00 without tax, 17.50 of tax."""

    class Meta:
        abstract = True

    currency = "EUR"
    minor_units = 2
    line_total = factory.SelfAttribute("net_total")
    allowance_total = 0
    charge_total = 0
    net_total = Decimal(100)
    tax_total = Decimal("17.5")
    gross_total = factory.LazyAttribute(lambda row: row.net_total + row.tax_total)
    rounding_amount = 0
    payable_total = factory.SelfAttribute("gross_total")


class DocumentLineFactory(RowFactory):
    class Meta:
        abstract = True

    position = 1
    kind = models.LineKind.LABOUR
    description = "Repin a hammer flange"
    quantity = 1
    unit = "note"
    unit_price = factory.SelfAttribute("net_amount")
    discount_amount = 0
    tax_category = factory.SubFactory(TaxCategoryFactory)
    tax_code = StandardTaxCode.STANDARD
    tax_percent = Decimal("17.5")


class DocumentAllowanceFactory(RowFactory):
    """Ten off for good custom."""

    class Meta:
        abstract = True

    position = 1
    is_charge = False
    reason = "Good custom"
    amount = Decimal(10)
    tax_category = factory.SubFactory(TaxCategoryFactory)
    tax_code = StandardTaxCode.STANDARD
    tax_percent = Decimal("17.5")


class DocumentTaxFactory(RowFactory):
    class Meta:
        abstract = True

    tax_code = StandardTaxCode.STANDARD
    tax_percent = Decimal("17.5")
