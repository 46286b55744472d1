"""What open quotes want and could not get."""

from django.db.models import F, OuterRef, QuerySet, Subquery, Sum
from django.db.models.functions import Coalesce

from billing.models import OPEN_STATUSES, BagLine
from shop.models import Part
from shop.queries.parts import NOTHING


def with_shortages(parts: QuerySet[Part]) -> QuerySet[Part]:
    """Return parts with `short`, what the bags of open quotes lack of each."""
    lines = BagLine.objects.filter(part=OuterRef("pk"), quote__status__in=OPEN_STATUSES)
    lacking = lines.values("part").annotate(total=Sum(F("wanted_quantity") - F("taken_quantity")))
    return parts.annotate(short=Coalesce(Subquery(lacking.values("total")), NOTHING))
