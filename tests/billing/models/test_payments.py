from decimal import Decimal

import pytest

from billing.models import Payment
from tests.factories.billing import InvoiceFactory, PaymentFactory
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "wrong", "right"),
    [
        ("billing_payment_amount_positive", {"amount": 0}, {"amount": Decimal("0.01")}),
        ("billing_payment_amount_positive", {"amount": -1}, {"amount": 1}),
        ("billing_payment_method_known", {"method": "barter"}, {"method": "cheque"}),
    ],
)
def test_a_payment_is_money_that_came_in_somehow(rule, wrong, right):
    with refused(rule):
        PaymentFactory(**wrong)
    with accepted():
        PaymentFactory(**right)


def test_payments_are_added_and_never_changed_or_removed():
    payment = PaymentFactory()
    mine = Payment.objects.filter(pk=payment.pk)
    with refused("billing_payment_append_only"):
        mine.update(amount=1)
    with refused("billing_payment_append_only"):
        mine.update(reference="the envelope")
    with refused("billing_payment_append_only"):
        mine.delete()
    with accepted():
        PaymentFactory(invoice=payment.invoice)


def test_no_more_is_paid_than_is_due():
    # 117.50 is owed.
    invoice = InvoiceFactory(issued=True)
    with refused("billing_payment_within_due"):
        PaymentFactory(invoice=invoice, amount=Decimal("117.51"))
    with accepted():
        PaymentFactory(invoice=invoice, amount=Decimal("100.00"))
    with refused("billing_payment_within_due"):
        PaymentFactory(invoice=invoice, amount=Decimal("17.51"))
    with accepted():
        PaymentFactory(invoice=invoice, amount=Decimal("17.50"))
    with refused("billing_payment_within_due"):
        PaymentFactory(invoice=invoice, amount=Decimal("0.01"))


def test_a_draft_is_not_paid():
    draft = InvoiceFactory()
    with refused("billing_payment_within_due"):
        PaymentFactory(invoice=draft)
    with accepted():
        PaymentFactory(invoice=InvoiceFactory(issued=True))
