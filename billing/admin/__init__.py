"""The office's pages of prices, quotes, invoices and payments, and of what is short."""

from billing.admin import documents, parts, payments, prices

__all__ = ["documents", "parts", "payments", "prices"]
