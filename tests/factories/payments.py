"""Money that came in, and what became of it."""

from decimal import Decimal

import factory

from billing import models
from tests.factories.billing import InvoiceFactory
from tests.factories.shop import ClientFactory, RowFactory, UserFactory
from tests.factories.world import NOW, TODAY


class BookEntryFactory(RowFactory):
    class Meta:
        abstract = True

    amount = Decimal(40)
    booked_on = TODAY
    recorded_at = NOW
    recorded_by = factory.SubFactory(UserFactory)


def reversal_of(entry, **columns):
    """Take a row of a book back, and return the reversal."""
    model = type(entry)
    same = {
        field.attname: getattr(entry, field.attname)
        for field in model._meta.concrete_fields
        if field.name != "id"
    }
    taken_back = {"amount": -entry.amount, "reason": "Entered twice.", "reverses_id": entry.pk}
    return model.objects.create(**same | taken_back | columns)


class PaymentFactory(BookEntryFactory):
    """Money that is its client's credit."""

    class Meta:
        model = models.Payment

    client = factory.SubFactory(ClientFactory)
    currency = "EUR"
    minor_units = 2
    method = models.PaymentMethod.TRANSFER


class AllocationFactory(BookEntryFactory):
    """All of a payment, for a part of what is due on an issued invoice."""

    class Meta:
        model = models.Allocation

    invoice = factory.SubFactory(InvoiceFactory, issued=True)
    payment = factory.SubFactory(
        PaymentFactory,
        client=factory.SelfAttribute("..invoice.client"),
        amount=factory.SelfAttribute("..amount"),
    )


class RefundFactory(BookEntryFactory):
    """All of a payment, given back."""

    class Meta:
        model = models.Refund

    payment = factory.SubFactory(PaymentFactory)
    method = models.PaymentMethod.TRANSFER
    reason = "Paid twice."


class WriteOffFactory(BookEntryFactory):
    """A part of what is due on an issued invoice, given up."""

    class Meta:
        model = models.WriteOff

    invoice = factory.SubFactory(InvoiceFactory, issued=True)
    reason = "The school has closed."


class BankStatementFactory(RowFactory):
    """A statement of the shop's account; the number is the IBAN registry's example."""

    class Meta:
        model = models.BankStatement

    identifier = factory.Sequence("2026-{:03d}".format)
    account = "DE89370400440532013000"
    currency = "EUR"
    opening_balance = 1000
    closing_balance = 1000
    format = models.StatementFormat.CAMT_053
    content_sha256 = factory.Sequence("{:064x}".format)
    imported_at = NOW
    imported_by = factory.SubFactory(UserFactory)


class StatementEntryFactory(RowFactory):
    """Money that came in and is not recorded yet."""

    class Meta:
        model = models.StatementEntry

    statement = factory.SubFactory(BankStatementFactory)
    account = factory.SelfAttribute("statement.account")
    entry_reference = factory.Sequence("B{}".format)
    booked_on = TODAY
    amount = Decimal(40)
