from datetime import timedelta
from decimal import Decimal

import pytest

from billing.models import Payment
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

YESTERDAY, TOMORROW = TODAY - timedelta(days=1), TODAY + timedelta(days=1)


def allocation(**columns):
    """Return an allocation of a payment that is larger than it has to be."""
    return AllocationFactory(**{"payment__amount": 100} | columns)


BOOKS = {
    "payment": PaymentFactory,
    "refund": RefundFactory,
    "allocation": allocation,
    "writeoff": WriteOffFactory,
}
SIGNED = [
    *("billing_payment_amount_signed", "billing_refund_amount_signed"),
    *("billing_allocation_amount_signed", "billing_writeoff_amount_signed"),
]
ONCE = [
    *("billing_payment_reversed_once", "billing_refund_reversed_once"),
    *("billing_allocation_reversed_once", "billing_writeoff_reversed_once"),
]
WHOLE = [
    *("billing_payment_reverses_whole", "billing_refund_reverses_whole"),
    *("billing_allocation_reverses_whole", "billing_writeoff_reverses_whole"),
]
KEPT = [
    *("billing_payment_append_only", "billing_refund_append_only"),
    *("billing_allocation_append_only", "billing_writeoff_append_only"),
]


def book(rule):
    return BOOKS[rule.split("_")[1]]


@pytest.mark.parametrize("rule", SIGNED)
def test_an_amount_is_more_than_nothing_unless_it_reverses_another(rule):
    make = book(rule)
    with refused(rule):
        make(amount=0)
    with accepted():
        entry = make(amount=Decimal("0.01"))
    with refused(rule):
        reversal_of(entry, reason="")
    with accepted():
        reversal_of(entry)


@pytest.mark.parametrize("rule", ONCE)
def test_a_row_is_reversed_once(rule):
    entry = book(rule)()
    with accepted():
        reversal_of(entry)
    with refused(rule):
        reversal_of(entry)


@pytest.mark.parametrize("rule", WHOLE)
@pytest.mark.parametrize(
    "wrong", [{"amount": Decimal("-39.99")}, {"booked_on": TODAY}], ids=["part", "before"]
)
def test_a_reversal_takes_back_all_of_a_row_and_not_before_its_day(rule, wrong):
    entry = book(rule)(booked_on=TOMORROW)
    with refused(rule):
        reversal_of(entry, **wrong)
    with accepted():
        reversal_of(entry)


@pytest.mark.parametrize("rule", WHOLE)
def test_a_reversal_is_not_reversed(rule):
    reversal = reversal_of(book(rule)())
    with refused(rule):
        reversal_of(reversal, amount=-40)


@pytest.mark.parametrize("rule", WHOLE)
def test_a_reversal_is_of_the_same_payment_invoice_or_client(rule):
    make = book(rule)
    entry, other = make(), make()
    name = next(n for n in ("payment", "invoice", "client") if hasattr(entry, n))
    with refused(rule):
        reversal_of(entry, **{f"{name}_id": getattr(other, f"{name}_id")})


@pytest.mark.parametrize("rule", KEPT)
def test_rows_are_added_and_never_changed_or_removed(rule):
    entry = book(rule)()
    mine = type(entry).objects.filter(pk=entry.pk)
    with refused(rule):
        mine.update(amount=1)
    with refused(rule):
        mine.update(reason="The envelope.")
    with refused(rule):
        mine.delete()
    with accepted():
        book(rule)()


@pytest.mark.parametrize(
    ("rule", "wrong", "right"),
    [
        ("billing_payment_method_known", {"method": "barter"}, {"method": "cheque"}),
        ("billing_payment_currency_code", {"currency": "eur"}, {"currency": "CHF"}),
        ("billing_payment_currency_code", {"minor_units": 4}, {"minor_units": 3}),
        (
            "billing_payment_amount_rounded",
            {"amount": Decimal("1.001")},
            {"amount": Decimal("1.01")},
        ),
        ("billing_refund_method_known", {"method": "barter"}, {"method": "cash"}),
        ("billing_refund_reason_given", {"reason": ""}, {"reason": "Paid twice."}),
        (
            "billing_refund_amount_rounded",
            {"amount": Decimal("1.001")},
            {"amount": Decimal("1.01")},
        ),
        ("billing_refund_after_payment", {"booked_on": YESTERDAY}, {"booked_on": TODAY}),
        ("billing_writeoff_reason_given", {"reason": ""}, {"reason": "Bankrupt."}),
        ("billing_writeoff_amount_rounded", {"amount": Decimal("1.001")}, {"amount": Decimal(1)}),
        ("billing_writeoff_after_issue", {"booked_on": YESTERDAY}, {"booked_on": TODAY}),
    ],
)
def test_money_is_what_it_can_be(rule, wrong, right):
    make = book(rule)
    with refused(rule):
        make(**wrong)
    with accepted():
        make(**right)


def test_an_allocation_has_the_decimals_of_the_currency():
    payment = AllocationFactory().payment
    with refused("billing_allocation_amount_rounded"):
        AllocationFactory(payment__amount=Decimal("1.01"), amount=Decimal("1.001"))
    with accepted():
        PaymentFactory(client=payment.client, amount=Decimal("1.01"))


def test_a_payment_is_reversed_when_nothing_of_it_is_in_use():
    allocation = AllocationFactory()
    with refused("billing_payment_reversed_unspent"):
        reversal_of(allocation.payment)
    with accepted():
        reversal_of(allocation)
        reversal_of(allocation.payment)
    refund = RefundFactory()
    with refused("billing_payment_reversed_unspent"):
        reversal_of(refund.payment)
    with accepted():
        reversal_of(refund)
        reversal_of(refund.payment)


def test_no_more_is_refunded_than_is_left():
    payment = AllocationFactory(payment__amount=100).payment
    # 40 of 100 are allocated.
    with refused("billing_refund_within_payment"):
        RefundFactory(payment=payment, amount=Decimal("60.01"))
    with accepted():
        RefundFactory(payment=payment, amount=60)
    with refused("billing_refund_within_payment"):
        RefundFactory(payment=payment, amount=Decimal("0.01"))


def test_nothing_is_refunded_of_what_never_came():
    payment = PaymentFactory()
    reversal = reversal_of(payment)
    for never in (payment, reversal):
        with refused("billing_refund_within_payment"):
            RefundFactory(payment=never, amount=1)
    assert Payment.objects.count() == 2
