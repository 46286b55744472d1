"""The office's pages of prices, quotes, invoices and payments, and rules that hold for all."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.contrib import admin
from django.utils import timezone

from billing.models import (
    BagLine,
    BankStatement,
    Fee,
    Invoice,
    LabourRate,
    LedgerAccount,
    NumberSeries,
    Payment,
    Quote,
    QuoteLine,
    Refund,
    Reminder,
    WriteOff,
)
from diagnostics.models import BenchWork, Examination, Finding
from shop.models import (
    Holding,
    Level,
    Move,
    OrderSeries,
    Part,
    PurchaseOrder,
    Receipt,
    SupplierOffer,
    SupplierReturn,
)
from tests.factories.billing import (
    BagLineFactory,
    FeeFactory,
    InvoiceFactory,
    LabourRateFactory,
    QuoteFactory,
    issued,
)
from tests.factories.diagnostics import BenchWorkFactory, FindingFactory
from tests.factories.payments import (
    AllocationFactory,
    BankStatementFactory,
    PaymentFactory,
    RefundFactory,
    WriteOffFactory,
)
from tests.factories.purchasing import (
    PurchaseOrderFactory,
    ReceiptFactory,
    SupplierOfferFactory,
    SupplierReturnFactory,
)
from tests.factories.reminders import ReminderFactory
from tests.factories.shop import ClientFactory, MoveFactory, PartFactory
from tests.factories.world import main_shelf, stock
from tests.office_pages import list_address, page_address, read, sent_back, sign_in, statements

pytestmark = pytest.mark.django_db

LEDGERS = {
    Level: lambda: stock(PartFactory(), 1, 1),
    Holding: PartFactory,
    Move: lambda: stock(PartFactory(), 1, 1),
    Examination: FindingFactory,
    Finding: FindingFactory,
    BenchWork: BenchWorkFactory,
    Quote: BagLineFactory,
    Invoice: lambda: InvoiceFactory(issued=True),
    Payment: PaymentFactory,
    BankStatement: BankStatementFactory,
    LedgerAccount: LedgerAccount.objects.first,
    Refund: RefundFactory,
    Reminder: ReminderFactory,
    WriteOff: WriteOffFactory,
    NumberSeries: lambda: InvoiceFactory(issued=True),
    SupplierOffer: SupplierOfferFactory,
    PurchaseOrder: lambda: PurchaseOrderFactory(sent=True),
    OrderSeries: lambda: PurchaseOrderFactory(sent=True),
    Receipt: ReceiptFactory,
    SupplierReturn: SupplierReturnFactory,
}


def invoice_due(client_name, due_in_days, **invoice):
    """An issued invoice of 117.50 that is due so many days from now."""
    draft = InvoiceFactory(client=ClientFactory(name=client_name), **invoice)
    due_on = timezone.localdate() + timedelta(days=due_in_days)
    for column, value in (issued() | {"issued_on": due_on, "due_on": due_on}).items():
        setattr(draft, column, value)
    draft.save()
    return draft


def test_parts_that_open_quotes_lack_are_listed_with_how_many():
    short = PartFactory(name="Hammer shank")
    BagLineFactory(part=short, wanted_quantity=7, taken_quantity=0)
    BagLineFactory(part=short, wanted_quantity=10, taken_quantity=0, quote__approved=True)
    BagLineFactory(part=short, wanted_quantity=900, taken_quantity=0, quote__declined=True)
    line = BagLineFactory(wanted_quantity=4, taken_quantity=4)
    full = stock(line.part, 4, 1).part
    MoveFactory(part=full, from_place=main_shelf(), to_place=line.quote.bag, quantity=4)
    page = read(sign_in(), list_address(Part), short="yes")
    assert "Hammer shank" in page
    assert '<span class="number">17</span>' in page
    assert full.name not in page


def test_open_quotes_are_told_from_the_others_and_those_short_of_parts_from_them():
    offered = QuoteFactory(client__name="Offered")
    approved = QuoteFactory(approved=True)
    QuoteFactory(withdrawn=True)
    BagLineFactory(quote=approved)
    browser = sign_in()
    assert "2 quotes" in read(browser, list_address(Quote), to_do="open")
    short = read(browser, list_address(Quote), to_do="short")
    assert "1 quote\n" in short
    assert page_address(approved) in short
    assert page_address(offered) not in short


def test_a_quotes_page_shows_lines_taxes_and_bag():
    line = BagLineFactory(wanted_quantity=5, taken_quantity=3)
    page = read(sign_in(), page_address(line.quote))
    assert "Repin a hammer flange" in page
    assert '<span class="number">17.50</span>' in page
    assert line.part.name in page


def test_overdue_invoices_are_those_past_their_day_with_something_owed():
    owed = invoice_due("Owes some", -1)
    AllocationFactory(invoice=owed, amount=40, booked_on=owed.issued_on)
    paid = invoice_due("Has paid", -1)
    AllocationFactory(invoice=paid, amount=paid.gross_total, booked_on=paid.issued_on)
    invoice_due("Due today", 0)
    InvoiceFactory(client__name="Only drafted")
    page = read(sign_in(), list_address(Invoice), owed="overdue")
    assert "1 invoice\n" in page
    assert "Owes some" in page
    # 117.50 less the 40 paid.
    assert '<span class="number">77.50</span>' in page


def test_unpaid_invoices_are_those_issued_with_something_owed():
    invoice_due("Due tomorrow", 1)
    InvoiceFactory(client__name="Only drafted")
    page = read(sign_in(), list_address(Invoice), owed="unpaid")
    assert "Due tomorrow" in page
    assert "Only drafted" not in page


def test_an_invoices_page_shows_lines_taxes_and_payments():
    allocation = AllocationFactory(payment__reference="RF18 5390 0754 7034")
    page = read(sign_in(), page_address(allocation.invoice))
    assert "Repin a hammer flange" in page
    assert "RF18 5390 0754 7034" in page
    assert '<span class="number">40.00</span>' in page


@pytest.mark.parametrize("currency", ["EUR", "JPY", "KWD"])
def test_amounts_have_the_decimals_of_the_currency(settings, currency):
    settings.CURRENCY = currency
    PartFactory(price=Decimal(3))
    # Source: ISO 4217: the yen has no minor unit, the Kuwaiti dinar three decimals.
    shown = {"EUR": "3.00", "JPY": "3", "KWD": "3.000"}[currency]
    assert f'<span class="number">{shown}</span>' in read(sign_in(), list_address(Part))


@pytest.mark.parametrize("model", LEDGERS, ids=lambda model: model.__name__)
def test_ledgers_are_shown_and_never_changed(model):
    LEDGERS[model]()
    row = model.objects.first()
    before = model.objects.filter(pk=row.pk).values().get()
    browser = sign_in(is_superuser=True)
    add = list_address(model) + "add/"
    rows = read(browser, list_address(model))
    page = read(browser, page_address(row))
    assert add not in rows
    assert 'name="action"' not in rows
    assert 'name="_save"' not in page
    assert "deletelink" not in page
    assert browser.get(add).status_code == 403
    sent = {column: value for column, value in before.items() if value is not None}
    assert browser.post(add, sent).status_code == 403
    assert browser.post(page_address(row), sent).status_code == 403
    assert browser.get(page_address(row, "delete")).status_code == 403
    assert browser.post(page_address(row, "delete"), {"post": "yes"}).status_code == 403
    chosen = {"action": "delete_selected", "_selected_action": [row.pk], "post": "yes"}
    browser.post(list_address(model), chosen)
    assert model.objects.filter(pk=row.pk).values().get() == before


def test_lists_cost_the_same_for_one_row_and_five():
    browser = sign_in()
    makers = {
        Part: BagLineFactory,
        Quote: BagLineFactory,
        Invoice: AllocationFactory,
        Payment: PaymentFactory,
    }
    for model, make in makers.items():
        make()
        of_one = statements(browser, list_address(model))
        for _ in range(4):
            make()
        assert statements(browser, list_address(model)) == of_one, model


def test_a_quotes_page_costs_the_same_for_one_part_and_many():
    quote = BagLineFactory().quote
    browser = sign_in()
    of_one = statements(browser, page_address(quote))
    for _ in range(5):
        BagLineFactory(quote=quote)
    assert statements(browser, page_address(quote)) == of_one
    assert BagLine.objects.count() == 6
    assert QuoteLine.objects.count() == 1


def test_every_page_of_the_admin_answers_the_owner_whom_it_is_for():
    browser = sign_in(office=False, owner=True)
    refused = []
    for model, page in admin.site._registry.items():
        answer = browser.get(list_address(model), {"q": "a"})
        if answer.status_code != 200:
            refused.append(page.opts.label)
    # They come with the libraries, for superusers alone.
    assert refused == ["auth.Group", "knox.AuthToken"]


def test_the_price_book_is_edited():
    rate, fee = LabourRateFactory(), FeeFactory()
    browser = sign_in()
    for row, column in ((rate, "per_hour"), (fee, "amount")):
        address = page_address(row)
        assert (
            browser.post(address, sent_back(browser, address, **{column: "72.5"})).status_code
            == 302
        )
    assert LabourRate.objects.get().per_hour == Fee.objects.get().amount == Decimal("72.5")


def test_labour_rates_that_overlap_are_refused_with_the_reason():
    LabourRateFactory()
    other = LabourRateFactory(valid_from="1999-01-01", valid_until="2000-01-01")
    browser = sign_in()
    address = page_address(other)
    answer = browser.post(address, sent_back(browser, address, valid_until="2001-01-01"))
    assert "Another labour rate holds on some of these days." in answer.content.decode()
