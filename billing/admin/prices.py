"""The price book."""

from django.contrib import admin

from billing.models import Fee, LabourRate
from shop.admin.columns import amount
from shop.admin.office import CatalogueAdmin


@admin.register(LabourRate)
class LabourRateAdmin(CatalogueAdmin):
    """What an hour costs, and from when until when."""

    list_display = ("code", "name", amount("per_hour"), "valid_from", "valid_until", "tax_category")
    list_select_related = ("tax_category",)


@admin.register(Fee)
class FeeAdmin(CatalogueAdmin):
    """What is charged for coming, for looking, and at least."""

    list_display = (
        "code",
        "name",
        "kind",
        amount("amount"),
        "valid_from",
        "valid_until",
        "tax_category",
    )
    list_select_related = ("tax_category",)
