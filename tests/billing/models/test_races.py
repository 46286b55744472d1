"""Two connections at once: `owner` is the second one, and neither sees what is not committed."""

from decimal import Decimal

from django.db import transaction

from billing.models import Invoice
from tests.factories.billing import InvoiceFactory, InvoiceLineFactory, issued
from tests.factories.payments import AllocationFactory, PaymentFactory, RefundFactory
from tests.factories.shop import TaxCategoryFactory
from tests.refusals import accepted, kept_waiting, refused


def test_no_line_slips_in_while_an_invoice_is_issued(committed_database):
    with transaction.atomic():
        draft = InvoiceFactory()
    late = InvoiceLineFactory.build(
        invoice=draft, position=2, net_amount=0, tax_category=TaxCategoryFactory()
    )
    with transaction.atomic():
        Invoice.objects.filter(pk=draft.pk).update(**issued())
        with kept_waiting("owner"):
            late.save(using="owner")
    with refused("billing_invoiceline_issued_stays", using="owner"):
        late.save(using="owner")


def test_no_invoice_is_issued_while_a_line_slips_in(committed_database):
    with transaction.atomic():
        draft = InvoiceFactory()
    same_draft = Invoice.objects.using("owner").filter(pk=draft.pk)
    with transaction.atomic():
        InvoiceLineFactory(invoice=draft, position=2, net_amount=5)
        with kept_waiting("owner"):
            same_draft.update(buyer={"name": "The caretaker"})
    with refused("billing_invoice_totals_tie", using="owner"):
        same_draft.update(buyer={"name": "The caretaker"})


def test_two_payments_do_not_both_fit_into_what_is_due(committed_database):
    with transaction.atomic():
        invoice = InvoiceFactory(issued=True)
        payments = [PaymentFactory(client=invoice.client, amount=100) for _ in range(2)]
    rows = {"invoice": invoice, "recorded_by": invoice.drafted_by}
    # 117.50 is due: one payment of 100.00 fits, and then one of 17.50.
    second = AllocationFactory.build(**rows, payment=payments[1], amount=Decimal("100.00"))
    with transaction.atomic():
        AllocationFactory(**rows, payment=payments[0], amount=Decimal("100.00"))
        with kept_waiting("owner"):
            second.save(using="owner")
    with refused("billing_allocation_within_owed", using="owner"):
        second.save(using="owner")
    second.amount = Decimal("17.50")
    with accepted(using="owner"):
        second.save(using="owner")


def test_the_same_credit_is_not_given_out_twice(committed_database):
    with transaction.atomic():
        payment = PaymentFactory(amount=100)
    rows = {"payment": payment, "recorded_by": payment.recorded_by}
    second = RefundFactory.build(**rows, amount=60)
    with transaction.atomic():
        RefundFactory(**rows, amount=60)
        with kept_waiting("owner"):
            second.save(using="owner")
    with refused("billing_refund_within_payment", using="owner"):
        second.save(using="owner")
