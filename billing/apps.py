"""The billing app: the money."""

from django.apps import AppConfig


class BillingConfig(AppConfig):
    """Prices, quotes, invoices and payments."""

    name = "billing"
    verbose_name = "Billing"
