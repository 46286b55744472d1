from datetime import date, timedelta
from decimal import Decimal

import factory

from billing import models
from tests.factories.diagnostics import ExaminationFactory
from tests.factories.documents import (
    DocumentAllowanceFactory,
    DocumentFactory,
    DocumentLineFactory,
    DocumentTaxFactory,
)
from tests.factories.shop import (
    CatalogueRowFactory,
    ClientFactory,
    PartFactory,
    PlaceFactory,
    RowFactory,
    TaxCategoryFactory,
    UserFactory,
    moved_on,
)
from tests.factories.world import FAR_DAY, NOW, TODAY, main_shelf


class LabourRateFactory(CatalogueRowFactory):
    class Meta:
        model = models.LabourRate

    per_hour = 60
    tax_category = factory.SubFactory(TaxCategoryFactory)
    valid_from = date(2000, 1, 1)


class FeeFactory(CatalogueRowFactory):
    class Meta:
        model = models.Fee

    kind = models.FeeKind.TRAVEL
    amount = 25
    tax_category = factory.SubFactory(TaxCategoryFactory)


APPROVED = {
    "status": models.QuoteStatus.APPROVED,
    "decided_at": NOW,
    "decided_on": TODAY,
    "decided_by_name": "The caretaker",
}
COMPLETED = {"status": models.QuoteStatus.COMPLETED, "completed_at": NOW}


def closed(status):
    return {"status": status, "decided_at": NOW, "decision_reason": "The hall was let."}


def add_quote_line(quote, create, extracted, **columns):
    if extracted is None:
        QuoteLineFactory(quote=quote, **columns)


def add_quote_tax(quote, create, extracted, **columns):
    if extracted is None:
        QuoteTaxFactory(quote=quote, **columns)


def superseded_by_next(quote, create, extracted, **columns):
    """Supersede a quote by its next version."""
    models.Quote.objects.filter(pk=quote.pk).update(status=models.QuoteStatus.SUPERSEDED)
    NextQuoteFactory(supersedes=quote, **columns)


class QuoteFactory(DocumentFactory):
    """An offered quote, or one that has moved on: `QuoteFactory(approved=True)`.

    It gets one line and one tax; `lines=[]` or `taxes=[]` leaves them to whoever makes it.
    """

    class Meta:
        model = models.Quote

    class Params:
        approved = factory.Trait(then=moved_on(APPROVED))
        completed = factory.Trait(then=moved_on(APPROVED, COMPLETED))
        declined = factory.Trait(then=moved_on(closed(models.QuoteStatus.DECLINED)))
        withdrawn = factory.Trait(then=moved_on(closed(models.QuoteStatus.WITHDRAWN)))
        expired = factory.Trait(then=moved_on(closed(models.QuoteStatus.EXPIRED)))
        superseded = factory.Trait(then=factory.PostGeneration(superseded_by_next))

    examination = factory.SubFactory(ExaminationFactory)
    client = factory.SelfAttribute("examination.instrument.site.client")
    made_at = NOW
    made_by = factory.SelfAttribute("examination.technician")
    valid_until = FAR_DAY
    bag = factory.SubFactory(PlaceFactory, bag=True)
    from_place = factory.LazyFunction(main_shelf)
    net_low = Decimal(80)
    net_high = Decimal(140)
    minutes_low = 70
    minutes_likely = 95
    minutes_high = 150
    diagnosis = factory.LazyFunction(lambda: {"findings": []})

    lines = factory.PostGeneration(add_quote_line)
    taxes = factory.PostGeneration(add_quote_tax)


class NextQuoteFactory(QuoteFactory):
    """The version after a quote that was superseded."""

    supersedes = factory.SubFactory(QuoteFactory)
    version = factory.LazyAttribute(lambda quote: quote.supersedes.version + 1)
    examination = factory.SelfAttribute("supersedes.examination")
    bag = factory.SelfAttribute("supersedes.bag")


class QuoteLineFactory(DocumentLineFactory):
    """The one line of a quote, for all that it costs."""

    class Meta:
        model = models.QuoteLine

    quote = factory.SubFactory(QuoteFactory, lines=[])
    net_amount = factory.SelfAttribute("quote.net_total")


ALLOWED = {"line_total": Decimal(110), "allowance_total": Decimal(10)}


class QuoteAllowanceFactory(DocumentAllowanceFactory):
    """The one allowance of a quote."""

    class Meta:
        model = models.QuoteAllowance

    quote = factory.SubFactory(QuoteFactory, lines__net_amount=Decimal(110), **ALLOWED)


class QuoteTaxFactory(DocumentTaxFactory):
    """The one tax of a quote, on all that it costs."""

    class Meta:
        model = models.QuoteTax

    quote = factory.SubFactory(QuoteFactory, taxes=[])
    taxable_amount = factory.SelfAttribute("quote.net_total")
    tax_amount = factory.SelfAttribute("quote.tax_total")


class BagLineFactory(RowFactory):
    class Meta:
        model = models.BagLine

    quote = factory.SubFactory(QuoteFactory)
    part = factory.SubFactory(PartFactory)
    wanted_quantity = 5
    taken_quantity = 3


class NumberSeriesFactory(RowFactory):
    """A series without a number yet, a year for each."""

    class Meta:
        model = models.NumberSeries

    code = "invoice"
    year = factory.Sequence(lambda n: 1900 + n)


def next_in_series(code="invoice", year=TODAY.year):
    """Take the next number and return the series that gave it out."""
    series, _ = models.NumberSeries.objects.get_or_create(code=code, year=year)
    series.last_number += 1
    series.save()
    return series


def party(name):
    """Return a seller or buyer as an issued invoice keeps it."""
    address = {"street": "1 Eel Pie Lane", "city": "Marsh End", "postcode": "ME1", "country": "GB"}
    return {"name": name, "email": "", "phone": "", "tax_number": "GB123456789", **address}


def issued():
    """The columns that make a draft an issued invoice, with the next number of the year."""
    series = next_in_series()
    return {
        "status": models.InvoiceStatus.ISSUED,
        "series": series,
        "sequence": series.last_number,
        "number": f"{series.year}-{series.last_number:05d}",
        "issued_on": TODAY,
        "due_on": TODAY + timedelta(days=14),
        "seller": {**party("The piano repair shop"), "is_tax_registered": True},
        "buyer": party("Eel Pie Lane School"),
    }


def add_invoice_line(invoice, create, extracted, **columns):
    if extracted is None:
        InvoiceLineFactory(invoice=invoice, **columns)


def add_invoice_tax(invoice, create, extracted, **columns):
    if extracted is None:
        InvoiceTaxFactory(invoice=invoice, **columns)


class InvoiceFactory(DocumentFactory):
    """A draft, or an issued invoice: `InvoiceFactory(issued=True)`.

    It gets one line and one tax; `lines=[]` or `taxes=[]` leaves them to whoever makes it.
    """

    class Meta:
        model = models.Invoice

    class Params:
        issued = factory.Trait(then=moved_on(issued))

    client = factory.SubFactory(ClientFactory)
    drafted_at = NOW
    drafted_by = factory.SubFactory(UserFactory)

    lines = factory.PostGeneration(add_invoice_line)
    taxes = factory.PostGeneration(add_invoice_tax)


class InvoiceLineFactory(DocumentLineFactory):
    """The one line of an invoice, for all that it costs."""

    class Meta:
        model = models.InvoiceLine

    invoice = factory.SubFactory(InvoiceFactory, lines=[])
    net_amount = factory.SelfAttribute("invoice.net_total")


class CreditNoteFactory(InvoiceFactory):
    """A draft credit note over all of an issued invoice."""

    kind = models.InvoiceKind.CREDIT_NOTE
    corrects = factory.SubFactory(InvoiceFactory, issued=True)
    client = factory.SelfAttribute("corrects.client")
    reason = "The piano was sold before the work began."


class InvoiceAllowanceFactory(DocumentAllowanceFactory):
    """The one allowance of an invoice."""

    class Meta:
        model = models.InvoiceAllowance

    invoice = factory.SubFactory(InvoiceFactory, lines__net_amount=Decimal(110), **ALLOWED)


class InvoiceTaxFactory(DocumentTaxFactory):
    """The one tax of an invoice, on all that it costs."""

    class Meta:
        model = models.InvoiceTax

    invoice = factory.SubFactory(InvoiceFactory, taxes=[])
    taxable_amount = factory.SelfAttribute("invoice.net_total")
    tax_amount = factory.SelfAttribute("invoice.tax_total")


class FollowUpFactory(RowFactory):
    class Meta:
        model = models.FollowUp

    quote = factory.SubFactory(QuoteFactory)
    due_on = TODAY + timedelta(days=14)


class ClientDecisionFactory(RowFactory):
    """A client's yes to an offered quote, which it approves."""

    class Meta:
        model = models.ClientDecision

    quote = factory.SubFactory(QuoteFactory, approved=True)
    decision = factory.SelfAttribute("quote.status")
    name = factory.SelfAttribute("quote.decided_by_name")
    reason = factory.SelfAttribute("quote.decision_reason")
    decided_at = NOW
    address = "192.0.2.7"  # RFC 5737: for documentation
    user_agent = "A browser"
    promise = "A tuned piano"
    # printf 'A tuned piano' | sha256sum
    promise_sha256 = "e55b4273f8ca02b1b5739894e0d05f0e013ccefbe633e8d4722b2cd2b015e3eb"
