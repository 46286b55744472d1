"""Invoices and credit notes as the client gets them."""

from typing import Any

from django.db.models import QuerySet
from django.utils import timezone
from rest_framework.response import Response

from billing.models import Invoice, InvoiceKind
from billing.pages.factur_x import factur_x
from billing.pages.priced import Priced, wording_of
from billing.queries.e_invoices import e_invoice
from billing.queries.invoices import invoices_in_full
from billing.queries.parties import buyer_of, seller_of
from billing.rules.cii import cross_industry_invoice
from shop.errors import Refused
from shop.http.files import PDFRenderer, file_response
from shop.http.permissions import OFFICE, grants
from shop.http.verbs import file
from shop.http.views import ShopViewSet
from shop.models import ShopProfile
from shop.pages.papers import Paper, paper_pdf
from shop.pages.wording import Wording

Party = dict[str, Any]
# What the work of the quote is done for, wholly.
AFTER_WORK = (InvoiceKind.INVOICE, InvoiceKind.FINAL)


class InvoiceDocumentViewSet(ShopViewSet):
    """Invoices and credit notes on paper."""

    model = Invoice
    roles = grants(read=OFFICE)

    def rows(self) -> QuerySet[Invoice]:
        """Return the invoices, which the office and the owner see."""
        return invoices_on_paper()

    @file(PDFRenderer)
    def pdf(self) -> Response:
        """Return the invoice as the client gets it; a draft says that it is one.

        Where the issued document can be had as EN 16931 XML, that is in the file (Factur-X).
        """
        invoice = self.found()
        pdf = invoice_pdf(invoice, ShopProfile.objects.get())
        return file_response(pdf, f"{invoice.number or f'draft-{invoice.pk}'}.pdf")


def invoices_on_paper() -> QuerySet[Invoice]:
    """Return the invoices with all that stands on their paper."""
    return invoices_in_full().select_related("client", "corrects__quote", "quote")


def invoice_pdf(invoice: Invoice, profile: ShopProfile) -> bytes:
    """Return an invoice or credit note, with its rows read, as PDF: Factur-X where it can be."""
    seller = invoice.seller or seller_of(profile)
    buyer = invoice.buyer or buyer_of(invoice, profile)
    words = wording_of(seller, buyer)
    paper = _paper(invoice, seller, buyer, words)
    xml = _xml(invoice)
    carrying = factur_x(paper, words, profile, xml) if xml else None
    return carrying or paper_pdf(paper, words, profile)


def _xml(invoice: Invoice) -> bytes | None:
    try:
        return cross_industry_invoice(e_invoice(invoice))
    except Refused:
        return None


def _paper(invoice: Invoice, seller: Party, buyer: Party, words: Wording) -> Paper:
    priced = Priced(
        invoice,
        words,
        lines=invoice.lines.all(),
        taxes=invoice.taxes.all(),
        allowances=invoice.allowances.all(),
    )
    texts, is_credit = words.texts["invoice"], invoice.kind == InvoiceKind.CREDIT_NOTE
    title = priced.texts["numbered" if invoice.number else "draft"]
    return Paper(
        title=title.format(title=texts[invoice.kind], number=invoice.number),
        sender=seller,
        receiver=buyer,
        facts=_facts(invoice, seller, buyer, words),
        columns=priced.columns(),
        rows=priced.rows(),
        totals=priced.totals(texts["credited_total" if is_credit else "payable_total"]),
        notes=[*priced.exemptions(), *_payment(invoice, priced)],
        dated=invoice.issued_on,
    )


def _facts(invoice: Invoice, seller: Party, buyer: Party, words: Wording) -> list[tuple[str, str]]:
    texts, quote, corrected = words.texts["invoice"], invoice.quote, invoice.corrects
    if corrected:
        day = words.day(corrected.issued_on) if corrected.issued_on else ""
        corrects = texts["corrects_of"].format(number=corrected.number, day=day)
    done_at = quote.completed_at if quote and invoice.kind in AFTER_WORK else None
    is_demand = not corrected
    facts = {
        texts["issued_on"]: invoice.issued_on and words.day(invoice.issued_on),
        texts["completed_on"]: done_at and words.day(timezone.localdate(done_at)),
        texts["due_on"]: is_demand and invoice.due_on and words.day(invoice.due_on),
        texts["reference"]: is_demand and invoice.reference,
        texts["corrects"]: corrected and corrects,
        texts["reason"]: invoice.reason,
        words.texts["priced"]["our_tax_number"]: seller.get("tax_number"),
        words.texts["priced"]["your_tax_number"]: buyer.get("tax_number"),
    }
    return [(name, value) for name, value in facts.items() if value]


def _payment(invoice: Invoice, priced: Priced) -> list[str]:
    """Return how to pay what is to be paid."""
    if invoice.corrects or not invoice.due_on:
        return []
    texts, iban = priced.words.texts["invoice"], (invoice.seller or {}).get("iban")
    pay = texts["pay"].format(
        amount=priced.money(invoice.payable_total),
        day=priced.words.day(invoice.due_on),
        reference=invoice.reference,
    )
    account = texts["pay_to"].format(iban=iban) if iban else ""
    return [note for note in (pay, account, invoice.payment_terms) if note]
