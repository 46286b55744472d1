from datetime import timedelta
from decimal import Decimal

import pytest

from billing.models import Invoice
from tests.factories.billing import CreditNoteFactory, InvoiceFactory, issued
from tests.factories.payments import (
    AllocationFactory,
    PaymentFactory,
    RefundFactory,
    WriteOffFactory,
    reversal_of,
)
from tests.factories.world import TODAY
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db

YESTERDAY = TODAY - timedelta(days=1)


@pytest.fixture
def invoice():
    """An invoice on which 117.50 are due."""
    return InvoiceFactory(issued=True)


@pytest.fixture
def payment(invoice):
    return PaymentFactory(client=invoice.client, amount=500)


def test_no_more_of_an_invoice_is_paid_or_written_off_than_is_due(invoice, payment):
    rows = {"invoice": invoice, "payment": payment}
    with refused("billing_allocation_within_owed"):
        AllocationFactory(**rows, amount=Decimal("117.51"))
    with accepted():
        AllocationFactory(**rows, amount=100)
    with refused("billing_writeoff_within_owed"):
        WriteOffFactory(invoice=invoice, amount=Decimal("17.51"))
    with accepted():
        WriteOffFactory(invoice=invoice, amount=Decimal("7.50"))
    with refused("billing_allocation_within_owed"):
        AllocationFactory(**rows, amount=Decimal("10.01"))
    with accepted():
        AllocationFactory(**rows, amount=10)


def test_what_is_reversed_is_due_again(invoice, payment):
    rows = {"invoice": invoice, "payment": payment, "amount": Decimal("117.50")}
    allocation = AllocationFactory(**rows)
    with accepted():
        reversal_of(allocation)
        write_off = WriteOffFactory(invoice=invoice, amount=Decimal("117.50"))
        reversal_of(write_off)
        AllocationFactory(**rows)


def test_a_draft_and_a_credit_note_are_neither_paid_nor_written_off(invoice):
    for other in (InvoiceFactory(), CreditNoteFactory(corrects=invoice, issued=True)):
        payment = PaymentFactory(client=other.client)
        with refused("billing_allocation_within_owed"):
            AllocationFactory(invoice=other, payment=payment)
        with refused("billing_writeoff_within_owed"):
            WriteOffFactory(invoice=other)


def test_no_more_of_a_payment_is_allocated_than_is_left(invoice):
    payment = PaymentFactory(client=invoice.client, amount=50)
    RefundFactory(payment=payment, amount=20)
    with refused("billing_allocation_within_payment"):
        AllocationFactory(invoice=invoice, payment=payment, amount=Decimal("30.01"))
    with accepted():
        AllocationFactory(invoice=invoice, payment=payment, amount=30)


def test_what_never_came_settles_nothing(invoice):
    payment = PaymentFactory(client=invoice.client)
    reversal_of(payment)
    with refused("billing_allocation_within_payment"):
        AllocationFactory(invoice=invoice, payment=payment)


@pytest.mark.parametrize("wrong", ["client", "currency", "too early", "not issued yet"])
def test_a_payment_settles_invoices_of_its_client_and_currency_when_both_are_there(invoice, wrong):
    client = {} if wrong == "client" else {"client": invoice.client}
    currency = {"currency": "CHF"} if wrong == "currency" else {}
    received_on = YESTERDAY if wrong == "not issued yet" else TODAY
    payment = PaymentFactory(**client, **currency, booked_on=received_on)
    settled_on = YESTERDAY if wrong in {"too early", "not issued yet"} else TODAY
    with refused("billing_allocation_same_client"):
        AllocationFactory(invoice=invoice, payment=payment, booked_on=settled_on)
    with accepted():
        AllocationFactory(invoice=invoice, payment=PaymentFactory(client=invoice.client))


def test_what_is_paid_is_not_credited_before_it_is_set_free(invoice, payment):
    allocation = AllocationFactory(invoice=invoice, payment=payment, amount=1)
    note = CreditNoteFactory(corrects=invoice)
    issue = Invoice.objects.filter(pk=note.pk)
    columns = issued()
    with refused("billing_invoice_credited_unsettled"):
        issue.update(**columns)
    with accepted():
        reversal_of(allocation)
        issue.update(**columns)
