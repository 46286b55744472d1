"""Parts, who sells them, where they are, and the ledger of how they moved."""

from typing import Any, ClassVar

from django import forms
from django.contrib import admin
from django.db.models import Field, QuerySet
from django.http import HttpRequest
from django.utils import timezone

from shop.admin.columns import amount, quantity
from shop.admin.office import CatalogueAdmin, OfficeAdmin, OfficeInline, ShownAdmin, ShownInline
from shop.models import (
    Holding,
    Level,
    Move,
    Part,
    PartPrice,
    Place,
    PlaceKind,
    Supplier,
    WoodSpecies,
)
from shop.queries.part_prices import with_prices
from shop.queries.parts import with_levels


@admin.register(Supplier)
class SupplierAdmin(OfficeAdmin):
    """Suppliers."""

    list_display = (
        "name",
        "email",
        "phone",
        "lead_time_days",
        amount("minimum_order_value", "smallest order"),
    )
    search_fields = ("name", "email", "phone")
    ordering = ("name",)


@admin.register(WoodSpecies)
class WoodSpeciesAdmin(CatalogueAdmin):
    """Woods and how far they move."""

    list_display = (
        "code",
        "name",
        quantity("radial_coefficient"),
        quantity("tangential_coefficient"),
        "provenance",
    )


class LevelInline(ShownInline):
    """Where a part is."""

    model = Level
    fields = ("place", quantity("quantity"))
    joined = ("place",)
    verbose_name_plural = "on shelves, in vans and in job bags"

    def get_queryset(self, request: HttpRequest) -> QuerySet[Level]:
        """Return the places that hold something."""
        return super().get_queryset(request).filter(is_held=True, quantity__gt=0).order_by("place")


class PartPriceInline(OfficeInline):
    """What a part costs from a day on."""

    model = PartPrice
    ordering = ("valid_from",)


@admin.register(Part)
class PartAdmin(CatalogueAdmin):
    """Parts with their levels."""

    list_display: "tuple[Any, ...]" = (
        "code",
        "name",
        "category",
        "unit",
        quantity("on_hand"),
        quantity("in_bags", "in job bags"),
        amount("price_in_force", "price"),
        amount("cost"),
        "is_active",
    )
    list_filter: ClassVar[tuple[Any, ...]] = ("category", "is_active", "provenance")
    search_fields = ("code", "name", "supplier_part_number")
    autocomplete_fields = ("supplier", "tax_category")
    inlines = (PartPriceInline, LevelInline)

    def get_readonly_fields(self, request: HttpRequest, obj: Any = None) -> tuple[str, ...]:
        """Return also the price, once the part is there: a new one has a day."""
        fields = tuple(super().get_readonly_fields(request, obj))
        return (*fields, "price") if obj else fields

    def get_queryset(self, request: HttpRequest) -> QuerySet[Part]:
        """Return parts with what there is of them and what they cost today."""
        return with_prices(with_levels(super().get_queryset(request)), timezone.localdate())


@admin.register(Place)
class PlaceAdmin(OfficeAdmin):
    """Places: shelves and vans can be added; job bags come with quotes, and others are fixed."""

    list_display = ("name", "kind", "is_active")
    list_filter = ("kind", "is_active")
    search_fields = ("name",)
    ordering = ("kind", "name")

    def get_readonly_fields(self, request: HttpRequest, obj: Any = None) -> tuple[str, ...]:  # noqa: ARG002
        """Return the kind, once the place is there."""
        return ("kind",) if obj else ()

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:  # noqa: ARG002
        """Return that places stay, with what happened there; one is closed instead."""
        return False

    def formfield_for_choice_field(
        self, db_field: "Field[Any, Any]", request: HttpRequest, **kwargs: Any
    ) -> forms.TypedChoiceField | None:
        """Return how the kind is chosen."""
        choices = [(kind, kind.label) for kind in (PlaceKind.SHELF, PlaceKind.VAN)]
        return super().formfield_for_choice_field(db_field, request, choices=choices, **kwargs)


@admin.register(Level)
class LevelAdmin(ShownAdmin):
    """What is where."""

    list_display = ("part", "place", quantity("quantity"))
    list_filter = ("place__kind",)
    list_select_related = ("part", "place")
    search_fields = ("part__code__startswith", "part__name", "place__name")
    ordering = ("part__code", "place__name")


@admin.register(Holding)
class HoldingAdmin(ShownAdmin):
    """What the shop holds of each part, and its value at cost."""

    list_display = ("part", quantity("quantity"), amount("value", "value at cost"))
    list_select_related = ("part",)
    search_fields = ("part__code__startswith", "part__name")
    ordering = ("part__code",)


@admin.register(Move)
class MoveAdmin(ShownAdmin):
    """The stock ledger, newest first."""

    list_display = (
        "moved_at",
        "part",
        "from_place",
        "to_place",
        quantity("quantity"),
        amount("value"),
        "reason",
        "reference",
        "moved_by",
    )
    list_filter = ("reason",)
    list_select_related = ("part", "from_place", "to_place", "moved_by")
    search_fields = ("part__code__startswith",)
    ordering = ("-moved_at", "-id")
