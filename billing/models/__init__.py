"""The tables of the billing app, one file per family of nouns."""

from billing.models.documents import LineKind
from billing.models.invoices import (
    Invoice,
    InvoiceLine,
    InvoiceStatus,
    InvoiceTax,
    NumberSeries,
)
from billing.models.payments import Payment, PaymentMethod
from billing.models.prices import Fee, FeeKind, LabourRate
from billing.models.quotes import (
    OPEN_STATUSES,
    BagLine,
    Quote,
    QuoteLine,
    QuoteStatus,
    QuoteTax,
)

__all__ = [
    "OPEN_STATUSES",
    "BagLine",
    "Fee",
    "FeeKind",
    "Invoice",
    "InvoiceLine",
    "InvoiceStatus",
    "InvoiceTax",
    "LabourRate",
    "LineKind",
    "NumberSeries",
    "Payment",
    "PaymentMethod",
    "Quote",
    "QuoteLine",
    "QuoteStatus",
    "QuoteTax",
]
