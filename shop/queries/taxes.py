"""Tax categories and their rates: everybody in the shop may see them."""

from django.db.models import QuerySet

from shop.models import TaxCategory, TaxRate


def tax_categories() -> QuerySet[TaxCategory]:
    """Return the tax categories by code."""
    return TaxCategory.objects.order_by("code")


def tax_rates() -> QuerySet[TaxRate]:
    """Return the rates with their categories."""
    return TaxRate.objects.select_related("category").order_by("id")
