"""The shop itself and the taxes it charges."""

from typing import Any

from django.contrib import admin
from django.http import HttpRequest

from shop.admin.office import CatalogueAdmin, OfficeAdmin, OfficeInline
from shop.models import ShopProfile, TaxCategory, TaxRate


@admin.register(ShopProfile)
class ShopProfileAdmin(OfficeAdmin):
    """The one row with the shop's name, address and settings."""

    list_display = ("name", "city", "is_tax_registered", "quote_validity_days", "payment_days")
    exclude = ("id",)

    def has_add_permission(self, request: HttpRequest, obj: Any = None) -> bool:  # noqa: ARG002
        """Return that there is no second shop."""
        return False

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:  # noqa: ARG002
        """Return that the shop stays."""
        return False


class TaxRateInline(OfficeInline):
    """A category's rates."""

    model = TaxRate
    ordering = ("valid_from",)


@admin.register(TaxCategory)
class TaxCategoryAdmin(CatalogueAdmin):
    """Tax categories and the rates that hold from a day on."""

    list_display = ("code", "name", "en16931_code", "provenance")
    inlines = (TaxRateInline,)
