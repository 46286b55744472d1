"""Parts and what there is of them, and who sells them: everybody in the shop may see them."""

from datetime import date
from decimal import Decimal

from django.db.models import DecimalField, OuterRef, QuerySet, Subquery, Sum, Value
from django.db.models.functions import Coalesce

from shop.models import Level, Part, PlaceKind, Supplier
from shop.queries.lead_times import with_lead_times
from shop.queries.part_prices import with_prices

NOTHING = Value(Decimal(0), output_field=DecimalField(max_digits=14, decimal_places=3))


def suppliers() -> QuerySet[Supplier]:
    """Return the suppliers by name, with their observed lead times."""
    return with_lead_times(
        Supplier.objects.order_by("name", "id"), order_line__order__supplier="pk"
    )


def parts_with_stock(day: date) -> QuerySet[Part]:
    """Return the parts by code, with their prices on `day`, levels, holding and tax category."""
    parts = Part.objects.select_related("tax_category", "holding")
    return with_prices(with_levels(parts), day).order_by("code")


def with_levels(parts: QuerySet[Part]) -> QuerySet[Part]:
    """Return parts with `on_hand`, on shelves and in vans, and `in_bags`, set aside for jobs."""
    return parts.annotate(
        on_hand=_held([PlaceKind.SHELF, PlaceKind.VAN]), in_bags=_held([PlaceKind.BAG])
    )


def _held(kinds: list[PlaceKind]) -> Coalesce:
    levels = Level.objects.filter(part=OuterRef("pk"), place__kind__in=kinds)
    total = levels.order_by().values("part").annotate(total=Sum("quantity"))
    return Coalesce(Subquery(total.values("total")), NOTHING)
