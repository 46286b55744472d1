"""Routes of the billing app, under /api/v1/."""

from django.urls import re_path

from billing.api.allocations import AllocationViewSet, WriteOffViewSet
from billing.api.bank_statements import BankStatementViewSet
from billing.api.changes import ChangesOfQuoteViewSet, QuoteChangeViewSet
from billing.api.client_decisions import ClientDecisionViewSet, QuoteLinkViewSet
from billing.api.client_statements import ClientStatementViewSet
from billing.api.examination_quotes import ExaminationQuoteViewSet
from billing.api.follow_ups import FollowUpViewSet
from billing.api.invoices import InvoiceViewSet
from billing.api.job_bags import QuoteBagViewSet
from billing.api.job_work import QuoteWorkViewSet
from billing.api.journal import JournalViewSet, LedgerAccountViewSet
from billing.api.margins import JobMarginsViewSet
from billing.api.packing import PlacePackingViewSet
from billing.api.parts_used import QuotePartsUsedViewSet
from billing.api.payments import PaymentViewSet, RefundViewSet
from billing.api.plans import ExaminationPlansViewSet
from billing.api.price_book import PriceBookViewSet
from billing.api.price_previews import PriceBookPreviewViewSet
from billing.api.prices import FeeViewSet, LabourRateViewSet
from billing.api.quotes import QuoteViewSet
from billing.api.receivables import AgedReceivablesViewSet
from billing.api.remedy_minutes import RemedyMinutesViewSet
from billing.api.reminder_levels import ReminderLevelViewSet, ReminderTextViewSet
from billing.api.reminders import ReminderViewSet
from billing.api.reorder import ReorderBySupplierViewSet, ReorderReportViewSet
from billing.api.reorder_orders import ReorderOrdersViewSet
from billing.api.sales import SalesSummaryViewSet
from billing.api.statement_entries import StatementEntryViewSet
from billing.pages.invoices import InvoiceDocumentViewSet
from billing.pages.quotes import QuoteDocumentViewSet
from billing.pages.reminders import ReminderDocumentViewSet
from billing.pages.statements import ClientStatementDocumentViewSet
from shop.http.routers import ShopRouter

router = ShopRouter()
router.register("allocations", AllocationViewSet, "allocation")
router.register("bank-statements", BankStatementViewSet, "bank-statement")
router.register("client-decisions", ClientDecisionViewSet, "client-decision")
router.register("clients", ClientStatementViewSet, "client-statement")
router.register("clients", ClientStatementDocumentViewSet, "client-statement-document")
router.register("examinations", ExaminationQuoteViewSet, "examination-quote")
router.register("examinations", ExaminationPlansViewSet, "examination-plans")
router.register("fees", FeeViewSet, "fee")
router.register("follow-ups", FollowUpViewSet, "follow-up")
router.register("invoices", InvoiceViewSet, "invoice")
router.register("invoices", InvoiceDocumentViewSet, "invoice-document")
router.register("labour-rates", LabourRateViewSet, "labour-rate")
router.register("ledger-accounts", LedgerAccountViewSet, "ledger-account")
router.register("payments", PaymentViewSet, "payment")
router.register("places", PlacePackingViewSet, "place-packing")
router.register("quote-changes", QuoteChangeViewSet, "quote-change")
router.register("quotes", QuoteViewSet, "quote")
router.register("quotes", QuoteBagViewSet, "quote-bag")
router.register("quotes", QuoteDocumentViewSet, "quote-document")
router.register("refunds", RefundViewSet, "refund")
router.register("reminder-levels", ReminderLevelViewSet, "reminder-level")
router.register("reminder-texts", ReminderTextViewSet, "reminder-text")
router.register("reminders", ReminderViewSet, "reminder")
router.register("reminders", ReminderDocumentViewSet, "reminder-document")
router.register("statement-entries", StatementEntryViewSet, "statement-entry")
router.register("write-offs", WriteOffViewSet, "write-off")
router.register("quotes", QuoteLinkViewSet, "quote-link")
router.register("quotes", QuotePartsUsedViewSet, "quote-parts-used")
router.register("quotes", ChangesOfQuoteViewSet, "quote-changes")
router.register("quotes", QuoteWorkViewSet, "quote-work")

price_book = PriceBookViewSet.as_view({"get": "price_book"})
price_book_preview = PriceBookPreviewViewSet.as_view({"post": "preview"})
remedy_minutes = RemedyMinutesViewSet.as_view({"get": "remedy_minutes"})
reorder_report = ReorderReportViewSet.as_view({"get": "reorder_report"})

reorder_orders = ReorderOrdersViewSet.as_view({"post": "create"})
by_supplier = ReorderBySupplierViewSet.as_view({"get": "reorder_by_supplier"})

aged_receivables = AgedReceivablesViewSet.as_view({"get": "aged_receivables"})
job_margins = JobMarginsViewSet.as_view({"get": "job_margins"})
journal = JournalViewSet.as_view({"get": "journal"})
sales_summary = SalesSummaryViewSet.as_view({"get": "sales_summary"})

urlpatterns = [
    *router.urls,
    re_path("^aged-receivables/?$", aged_receivables, name="aged-receivables"),
    re_path("^job-margins/?$", job_margins, name="job-margins"),
    re_path("^journal/?$", journal, name="journal"),
    re_path("^price-book/?$", price_book, name="price-book"),
    re_path("^price-book/preview/?$", price_book_preview, name="price-book-preview"),
    re_path("^remedy-minutes/?$", remedy_minutes, name="remedy-minutes"),
    re_path("^reorder-report/?$", reorder_report, name="reorder-report"),
    re_path("^reorder-report/orders/?$", reorder_orders, name="reorder-report-orders"),
    re_path("^reorder-report/by-supplier/?$", by_supplier, name="reorder-report-by-supplier"),
    re_path("^sales-summary/?$", sales_summary, name="sales-summary"),
]
