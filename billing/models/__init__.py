"""The tables of the billing app, one file per family of nouns."""

from billing.models.accounts import LedgerAccount
from billing.models.bank_statements import BankStatement, StatementEntry, StatementFormat
from billing.models.book_entries import BookEntry
from billing.models.changes import (
    AGREED_CHANGES,
    ChangeStatus,
    QuoteChange,
    QuoteChangeLine,
    QuoteChangePart,
    QuoteChangeTax,
)
from billing.models.client_decisions import ClientDecision, Decision
from billing.models.documents import LineKind
from billing.models.follow_ups import FollowUp
from billing.models.invoice_rows import InvoiceAllowance, InvoiceLine, InvoiceTax
from billing.models.invoices import Invoice, InvoiceKind, InvoiceStatus
from billing.models.number_series import NumberSeries
from billing.models.payments import Payment, PaymentMethod, Refund
from billing.models.prices import Fee, FeeKind, LabourRate
from billing.models.quote_options import (
    QuoteAgreement,
    QuoteAgreementTax,
    QuoteOption,
    QuoteOptionPart,
)
from billing.models.quote_rows import BagLine, QuoteAllowance, QuotedLine, QuoteLine, QuoteTax
from billing.models.quotes import OPEN_STATUSES, Quote, QuotePlan, QuoteStatus
from billing.models.reminders import (
    Reminder,
    ReminderChannel,
    ReminderLevel,
    ReminderText,
)
from billing.models.settlements import Allocation, WriteOff
from billing.models.shortages import WeeklyShortage

__all__ = [
    "AGREED_CHANGES",
    "OPEN_STATUSES",
    "Allocation",
    "BagLine",
    "BankStatement",
    "BookEntry",
    "ChangeStatus",
    "ClientDecision",
    "Decision",
    "Fee",
    "FeeKind",
    "FollowUp",
    "Invoice",
    "InvoiceAllowance",
    "InvoiceKind",
    "InvoiceLine",
    "InvoiceStatus",
    "InvoiceTax",
    "LabourRate",
    "LedgerAccount",
    "LineKind",
    "NumberSeries",
    "Payment",
    "PaymentMethod",
    "Quote",
    "QuoteAgreement",
    "QuoteAgreementTax",
    "QuoteAllowance",
    "QuoteChange",
    "QuoteChangeLine",
    "QuoteChangePart",
    "QuoteChangeTax",
    "QuoteLine",
    "QuoteOption",
    "QuoteOptionPart",
    "QuotePlan",
    "QuoteStatus",
    "QuoteTax",
    "QuotedLine",
    "Refund",
    "Reminder",
    "ReminderChannel",
    "ReminderLevel",
    "ReminderText",
    "StatementEntry",
    "StatementFormat",
    "WeeklyShortage",
    "WriteOff",
]
