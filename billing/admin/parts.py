"""Parts with what open quotes still lack of them."""

from collections.abc import Iterable
from typing import Any

from django.contrib import admin
from django.db.models import QuerySet
from django.http import HttpRequest

from billing.queries.shortages import with_shortages
from shop.admin.columns import quantity
from shop.admin.stock import PartAdmin
from shop.models import Part


class ShortFilter(admin.SimpleListFilter):
    """Leaves the parts of which open quotes lack some."""

    title = "short on open quotes"
    parameter_name = "short"

    def lookups(self, request: HttpRequest, model_admin: Any) -> Iterable[tuple[str, str]]:  # noqa: ARG002
        """Return the choices."""
        return [("yes", "Yes")]

    def queryset(self, request: HttpRequest, queryset: QuerySet[Any]) -> QuerySet[Any]:  # noqa: ARG002
        """Return the parts chosen."""
        return queryset.filter(short__gt=0) if self.value() else queryset


admin.site.unregister(Part)


@admin.register(Part)
class WantedPartAdmin(PartAdmin):
    """Parts with their levels and shortages."""

    list_display = (*PartAdmin.list_display[:6], quantity("short"), *PartAdmin.list_display[6:])
    list_filter = (ShortFilter, *PartAdmin.list_filter)

    def get_queryset(self, request: HttpRequest) -> QuerySet[Part]:
        """Return parts with what there is and what is lacking of them."""
        return with_shortages(super().get_queryset(request))
