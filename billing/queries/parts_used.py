"""What the parts cost that a job used."""

from typing import Any

from django.db.models import QuerySet, Sum

from billing.models import Quote
from shop.models import Move, PlaceKind


def parts_used(quote: Quote) -> QuerySet[Any, Any]:
    """Return by code what went out of the job bag of `quote` to be fitted, at cost.

    Rows have `part__code`, `part__name`, `part__unit`, `used_quantity` and `used_value`.
    """
    fitted = Move.objects.filter(from_place=quote.bag_id, to_place__kind=PlaceKind.USED)
    by_part = fitted.order_by("part__code").values("part__code", "part__name", "part__unit")
    return by_part.annotate(used_quantity=Sum("quantity"), used_value=Sum("value"))
