from decimal import Decimal

import factory

from billing import models
from tests.factories.billing import APPROVED, QuoteFactory, QuoteLineFactory
from tests.factories.documents import DocumentFactory, DocumentTaxFactory
from tests.factories.shop import PartFactory, RowFactory, TaxCategoryFactory


def add_option_lines(option, create, extracted, **columns):
    """Give a quote its lines, all at once: the firm one, and that of the option."""
    if extracted is None:
        tax_category = TaxCategoryFactory()
        firm = QuoteLineFactory.build(quote=option.quote, tax_category=tax_category)
        optional = QuoteLineFactory.build(
            quote=option.quote,
            option=option,
            position=2,
            net_amount=option.net_total,
            tax_category=tax_category,
        )
        models.QuoteLine.objects.bulk_create([firm, optional])


class QuoteOptionFactory(RowFactory):
    """The one option of a quote: 50.00 without tax beside the firm 100.00."""

    class Meta:
        model = models.QuoteOption

    quote = factory.SubFactory(QuoteFactory, lines=[])
    position = 1
    title = "Renew the felt"
    is_default = False
    net_total = Decimal(50)
    tax_total = Decimal("8.75")
    gross_total = factory.LazyAttribute(lambda row: row.net_total + row.tax_total)

    lines = factory.PostGeneration(add_option_lines)


class QuoteOptionPartFactory(RowFactory):
    class Meta:
        model = models.QuoteOptionPart

    option = factory.SubFactory(QuoteOptionFactory)
    part = factory.SubFactory(PartFactory)
    quantity = 2


def add_agreement_tax(agreement, create, extracted, **columns):
    if extracted is None:
        QuoteAgreementTaxFactory(agreement=agreement, **columns)


def approve_agreed(agreement, create, extracted, **columns):
    if extracted is None:
        models.Quote.objects.filter(pk=agreement.quote_id).update(**APPROVED)


class QuoteAgreementFactory(DocumentFactory):
    """What was agreed of a quote with an option that the client did not take."""

    class Meta:
        model = models.QuoteAgreement

    quote = factory.LazyFunction(lambda: QuoteOptionFactory().quote)

    taxes = factory.PostGeneration(add_agreement_tax)
    approved = factory.PostGeneration(approve_agreed)


class QuoteAgreementTaxFactory(DocumentTaxFactory):
    """The one tax on what was agreed."""

    class Meta:
        model = models.QuoteAgreementTax

    agreement = factory.SubFactory(QuoteAgreementFactory, taxes=[])
    taxable_amount = factory.SelfAttribute("agreement.net_total")
    tax_amount = factory.SelfAttribute("agreement.tax_total")
