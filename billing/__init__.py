"""Prices, quotes, invoices and payments."""
