"""What parts cost the client on a day."""

from datetime import date

from django.db.models import OuterRef, QuerySet, Subquery
from django.db.models.functions import Coalesce

from shop.models import Part, PartPrice


def with_prices(parts: QuerySet[Part], day: date) -> QuerySet[Part]:
    """Return parts with `price_in_force` on `day`: the last dated, or the one they came with."""
    return parts.annotate(price_in_force=Coalesce(_last_dated(day), "price"))


def part_prices() -> QuerySet[PartPrice]:
    """Return the dated prices with their parts."""
    return PartPrice.objects.select_related("part").order_by("id")


def _last_dated(day: date) -> Subquery:
    dated = PartPrice.objects.filter(part=OuterRef("pk"), valid_from__lte=day)
    return Subquery(dated.order_by("-valid_from").values("price")[:1])
