"""Credit notes and deposits: never more than was demanded."""

from decimal import Decimal

import pytest

from billing.models import Invoice
from tests.factories.billing import (
    CreditNoteFactory,
    InvoiceAllowanceFactory,
    InvoiceFactory,
    InvoiceLineFactory,
    issued,
)
from tests.factories.shop import ClientFactory
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db


def test_a_credit_note_and_nothing_else_corrects_an_invoice():
    invoice = InvoiceFactory(issued=True)
    for wrong in ({"kind": "invoice", "corrects": invoice}, {"kind": "credit_note"}):
        with refused("billing_invoice_correction"):
            InvoiceFactory(client=invoice.client, reason="Half of it was done.", **wrong)
    with refused("billing_invoice_correction"):
        CreditNoteFactory(corrects=invoice, reason="")
    with accepted():
        CreditNoteFactory(corrects=invoice)


def test_a_credit_note_corrects_an_issued_invoice_of_the_same_client():
    for wrong in (
        {"corrects": InvoiceFactory()},
        {"corrects": CreditNoteFactory()},
        {"client": ClientFactory()},
        {"currency": "USD"},
    ):
        with refused("billing_invoice_credits_issued"):
            CreditNoteFactory(**wrong)
    with accepted():
        CreditNoteFactory()


def test_credit_notes_take_back_no_more_than_the_invoice_demanded():
    half = {"net_total": Decimal(50), "tax_total": Decimal("8.75")}
    first = CreditNoteFactory(**half)
    with refused("billing_invoice_credit_within"):
        CreditNoteFactory(
            corrects=first.corrects, net_total=Decimal("50.01"), tax_total=Decimal("8.75")
        )
    with accepted():
        CreditNoteFactory(corrects=first.corrects, **half)


def test_a_line_is_credited_no_further_than_it_goes():
    line = InvoiceLineFactory()
    Invoice.objects.filter(pk=line.invoice_id).update(**issued())
    note = {"corrects": line.invoice, "tax_total": 0, "lines__credits": line}
    CreditNoteFactory(net_total=Decimal(40), **note)
    with refused("billing_invoiceline_credit_within"):
        CreditNoteFactory(net_total=Decimal("60.01"), **note)
    with accepted():
        CreditNoteFactory(net_total=Decimal(60), **note)


def test_an_allowance_is_credited_no_further_than_it_goes():
    allowance = InvoiceAllowanceFactory()
    Invoice.objects.filter(pk=allowance.invoice_id).update(**issued())

    def credit(amount):
        note = CreditNoteFactory(
            corrects=allowance.invoice,
            line_total=20,
            allowance_total=amount,
            net_total=20 - amount,
            tax_total=0,
            lines__net_amount=20,
        )
        InvoiceAllowanceFactory(invoice=note, amount=amount, credits=allowance)

    with refused("billing_invoiceallowance_credit_within"):
        credit(Decimal("10.01"))
    with accepted():
        credit(Decimal(10))


def test_no_more_is_taken_off_than_a_deposit_demanded():
    deposit = InvoiceLineFactory(kind="deposit")
    Invoice.objects.filter(pk=deposit.invoice_id).update(**issued())

    def take_off(amount):
        final = InvoiceFactory(lines=[])
        InvoiceLineFactory(invoice=final, position=1, net_amount=100 + amount)
        InvoiceLineFactory(
            invoice=final,
            position=2,
            kind="deposit",
            quantity=-1,
            unit_price=amount,
            net_amount=-amount,
            deducts=deposit,
        )

    with refused("billing_invoiceline_deducted_within"):
        take_off(Decimal("100.01"))
    with accepted():
        take_off(Decimal(60))
        take_off(Decimal(40))


def test_positions_of_allowances_are_taken_once():
    first = InvoiceAllowanceFactory()
    with refused("billing_invoiceallowance_position_once"):
        InvoiceAllowanceFactory(invoice=first.invoice)
