from datetime import timedelta

import pgtrigger
import pytest
from django.db import connection

from billing.models import Invoice, InvoiceLine, InvoiceTax
from tests.factories.billing import (
    CreditNoteFactory,
    InvoiceFactory,
    InvoiceLineFactory,
    InvoiceTaxFactory,
    NumberSeriesFactory,
    QuoteFactory,
    QuoteLineFactory,
    issued,
)
from tests.factories.changes import QuoteChangeLineFactory
from tests.factories.world import TODAY
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db


def test_an_invoice_has_a_status_that_is_known():
    # The edges refuse an unknown status first; without them the column still does.
    with pgtrigger.ignore("billing.Invoice:billing_invoice_status_first"):
        with refused("billing_invoice_status_known"):
            InvoiceFactory(status="sent")
        with accepted():
            InvoiceFactory(status="draft")


def test_an_invoice_starts_as_a_draft():
    with refused("billing_invoice_status_first"):
        InvoiceFactory(**issued())
    with accepted():
        InvoiceFactory(issued=True)


def test_a_quote_has_one_draft_at_a_time():
    quote = QuoteFactory(completed=True)
    InvoiceFactory(quote=quote, issued=True)
    InvoiceFactory(quote=quote)
    with refused("billing_invoice_one_draft"):
        InvoiceFactory(quote=quote)
    with accepted():
        InvoiceFactory(quote=QuoteFactory(completed=True))
        InvoiceFactory.create_batch(2, quote=None)


def test_a_line_of_a_quote_is_invoiced_once_until_all_of_it_is_credited():
    line = QuoteLineFactory()
    InvoiceFactory(issued=True, lines__quote_line=line)
    with refused("billing_invoiceline_invoiced_once"):
        InvoiceFactory(lines__quote_line=line)
    first = InvoiceLine.objects.get(quote_line=line)
    CreditNoteFactory(corrects=first.invoice, lines__credits=first)
    with accepted():
        InvoiceFactory(lines__quote_line=line)


def test_a_line_of_a_change_is_invoiced_once_until_all_of_it_is_credited():
    line = QuoteChangeLineFactory()
    InvoiceFactory(issued=True, lines__change_line=line)
    with refused("billing_invoiceline_change_once"):
        InvoiceFactory(lines__change_line=line)
    first = InvoiceLine.objects.get(change_line=line)
    CreditNoteFactory(corrects=first.invoice, lines__credits=first)
    with accepted():
        InvoiceFactory(lines__change_line=line)


def test_the_kind_is_one_that_there_is():
    with refused("billing_invoice_kind_known"):
        InvoiceFactory(kind="reminder")
    with accepted():
        InvoiceFactory(kind="deposit")


def test_a_draft_moves_to_issued_alone():
    draft = Invoice.objects.filter(pk=InvoiceFactory().pk)
    with refused("billing_invoice_status_edge"):
        draft.update(status="cancelled")
    with accepted():
        draft.update(**issued())


@pytest.mark.parametrize(
    "missing",
    [
        {"number": ""},
        {"issued_on": None},
        {"due_on": None},
        {"due_on": TODAY - timedelta(days=1)},
        {"seller": None},
        {"buyer": None},
    ],
    ids=lambda missing: " ".join(f"{column} {value}" for column, value in missing.items()),
)
def test_an_issued_invoice_is_complete(missing):
    draft = Invoice.objects.filter(pk=InvoiceFactory().pk)
    with refused("billing_invoice_issued_complete"):
        draft.update(**issued() | missing)
    with accepted():
        draft.update(**issued() | {"due_on": TODAY})


@pytest.mark.parametrize("missing", ["series", "sequence"])
def test_an_issued_invoice_is_numbered(missing):
    draft = Invoice.objects.filter(pk=InvoiceFactory().pk)
    # The number's guard refuses it first; without that the columns still do.
    with pgtrigger.ignore("billing.Invoice:billing_invoice_next_number"):
        with refused("billing_invoice_issued_complete"):
            draft.update(**issued() | {missing: None})
        with accepted():
            draft.update(**issued())


@pytest.mark.parametrize("early", [{"number": "2026-00001"}, {"sequence": 1}])
def test_a_draft_has_no_number(early):
    with refused("billing_invoice_issued_complete"):
        InvoiceFactory(**early)
    with accepted():
        InvoiceFactory()


def test_an_invoice_takes_the_number_its_series_gave_out_last():
    draft = Invoice.objects.filter(pk=InvoiceFactory().pk)
    columns = issued()
    last = columns["sequence"]
    for other in (last - 1, last + 1):
        with refused("billing_invoice_next_number"):
            draft.update(**columns | {"sequence": other})
    with refused("billing_invoice_next_number"):
        draft.update(**columns | {"series": NumberSeriesFactory()})
    with accepted():
        draft.update(**columns)


def test_two_invoices_never_share_a_number():
    first = InvoiceFactory(issued=True)
    second = Invoice.objects.filter(pk=InvoiceFactory().pk)
    same = {"series": first.series, "sequence": first.sequence}
    # The number's guard refuses it first; without that the index still does.
    with (
        pgtrigger.ignore("billing.Invoice:billing_invoice_next_number"),
        refused("billing_invoice_number_once"),
    ):
        second.update(**issued() | same)
    with accepted():
        second.update(**issued())


def test_an_issued_invoice_stays():
    draft, invoice = InvoiceFactory(), InvoiceFactory(issued=True)
    mine = Invoice.objects.filter(pk=invoice.pk)
    with refused("billing_invoice_issued_stays"):
        mine.update(due_on=TODAY + timedelta(days=90))
    with refused("billing_invoice_issued_stays"), connection.cursor() as cursor:
        cursor.execute("DELETE FROM billing_invoice WHERE id = %s", [invoice.pk])
    with accepted():
        Invoice.objects.filter(pk=draft.pk).update(buyer={"name": "The caretaker"})
    with accepted():
        draft.delete()


@pytest.mark.parametrize(
    ("rule", "rows", "factory", "free_of_charge"),
    [
        (
            "billing_invoiceline_issued_stays",
            InvoiceLine,
            InvoiceLineFactory,
            {"position": 2, "net_amount": 0},
        ),
        (
            "billing_invoicetax_issued_stays",
            InvoiceTax,
            InvoiceTaxFactory,
            {"tax_code": "Z", "tax_percent": 0, "taxable_amount": 0, "tax_amount": 0},
        ),
    ],
)
def test_the_rows_of_an_issued_invoice_stay(rule, rows, factory, free_of_charge):
    draft, invoice = InvoiceFactory(), InvoiceFactory(issued=True)
    of_draft, of_issued = (rows.objects.filter(invoice=each) for each in (draft, invoice))
    with refused(rule):
        factory(invoice=invoice, **free_of_charge)
    with refused(rule):
        of_issued.update(tax_percent=19)
    with refused(rule):
        of_issued.update(invoice=InvoiceFactory(lines=[], taxes=[]))
    with refused(rule):
        of_draft.update(invoice=invoice)
    with refused(rule):
        of_issued.delete()
    with accepted():
        factory(invoice=draft, **free_of_charge)
        of_draft.update(tax_code="O")


def test_a_draft_whose_lines_were_changed_is_not_issued():
    draft = InvoiceFactory()
    InvoiceLine.objects.filter(invoice=draft).update(net_amount=90)
    with refused("billing_invoice_totals_tie"):
        Invoice.objects.filter(pk=draft.pk).update(**issued())
    InvoiceLine.objects.filter(invoice=draft).update(net_amount=100)
    with accepted():
        Invoice.objects.filter(pk=draft.pk).update(**issued())
