"""What the bags of open quotes lack."""

from typing import Any

from django.db.models import F, OuterRef, QuerySet, Subquery, Sum
from django.db.models.functions import Coalesce

from billing.models import OPEN_STATUSES, BagLine
from shop.models import Part
from shop.queries.parts import NOTHING


def open_lines() -> QuerySet[Any]:
    """Return the bag lines of open quotes, with what the bag is `lacking` of the part by now."""
    lines = BagLine.objects.filter(quote__status__in=OPEN_STATUSES)
    return lines.annotate(lacking=F("wanted_quantity") - F("taken_quantity"))


def with_shortages(parts: QuerySet[Part]) -> QuerySet[Part]:
    """Return parts with `short`, what the bags of open quotes lack of each."""
    lines = open_lines().filter(part=OuterRef("pk")).order_by().values("part")
    lacking = lines.annotate(total=Sum("lacking")).values("total")
    return parts.annotate(short=Coalesce(Subquery(lacking), NOTHING))
