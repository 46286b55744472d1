from decimal import Decimal

import factory

from billing import models
from tests.factories.billing import QuoteFactory
from tests.factories.diagnostics import RemedyFactory
from tests.factories.documents import DocumentFactory, DocumentLineFactory, DocumentTaxFactory
from tests.factories.shop import PartFactory, RowFactory, UserFactory, moved_on
from tests.factories.world import NOW


def add_change_line(change, create, extracted, **columns):
    if extracted is None:
        QuoteChangeLineFactory(change=change, **columns)


def add_change_tax(change, create, extracted, **columns):
    if extracted is None:
        QuoteChangeTaxFactory(change=change, **columns)


class QuoteChangeFactory(DocumentFactory):
    """A proposed change of an approved quote, or one that is decided.

    It gets one line and one tax; `lines=[]` or `taxes=[]` leaves them to whoever makes it.
    """

    class Meta:
        model = models.QuoteChange

    class Params:
        approved = factory.Trait(
            then=moved_on({"status": "approved", "decided_at": NOW, "decided_by_name": "The head"})
        )
        declined = factory.Trait(then=moved_on({"status": "declined", "decided_at": NOW}))
        tolerated = factory.Trait(status="tolerated", tolerance_left=Decimal(100))

    quote = factory.SubFactory(QuoteFactory, approved=True)
    number = factory.Sequence(lambda n: n + 1)
    status = models.ChangeStatus.PROPOSED
    remedy = factory.SubFactory(RemedyFactory)
    notes_midi = factory.LazyFunction(lambda: [60])
    reason = "The neighbour is as tight."
    tolerance_left = 0
    made_at = NOW
    made_by = factory.SubFactory(UserFactory)

    lines = factory.PostGeneration(add_change_line)
    taxes = factory.PostGeneration(add_change_tax)


class QuoteChangeLineFactory(DocumentLineFactory):
    """The one line of a change, for all that it costs."""

    class Meta:
        model = models.QuoteChangeLine

    change = factory.SubFactory(QuoteChangeFactory, lines=[])
    net_amount = factory.SelfAttribute("change.net_total")


class QuoteChangeTaxFactory(DocumentTaxFactory):
    """The one tax of a change, on all that it costs."""

    class Meta:
        model = models.QuoteChangeTax

    change = factory.SubFactory(QuoteChangeFactory, taxes=[])
    taxable_amount = factory.SelfAttribute("change.net_total")
    tax_amount = factory.SelfAttribute("change.tax_total")


class QuoteChangePartFactory(RowFactory):
    class Meta:
        model = models.QuoteChangePart

    change = factory.SubFactory(QuoteChangeFactory)
    part = factory.SubFactory(PartFactory)
    wanted_quantity = 5
